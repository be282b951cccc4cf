/** `BoroName`, `field_no`, `DPB_ZKOD` as lower-case words without accents. */
export function wordsOf(heading: string): string[] {
	return heading
		.normalize('NFD')
		.replace(/\p{M}/gu, '')
		.replace(/²/g, '2')
		.replaceAll('ß', 'ss')
		.replace(/([a-z])([A-Z])/g, '$1 $2')
		.toLowerCase()
		.split(/[^a-z0-9]+/)
		.filter((word) => word !== '');
}
