/** Every map stands with north up. */
export function NorthMark() {
	return (
		<svg className="north" width="26" height="40" viewBox="0 0 26 40" role="img" aria-label="North is up">
			<path d="M13 3L19 24L13 20L7 24Z" fill="var(--ink)" />
			<text x="13" y="38" textAnchor="middle" fontSize="13" fontWeight="700" fill="var(--ink)">
				N
			</text>
		</svg>
	);
}
