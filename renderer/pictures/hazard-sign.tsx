import type { ReactNode } from 'react';
import { type HazardSign, hazardSigns } from '../../shared/core/products/hazard-signs.ts';

const BLACK = '#000';
const RED = '#d3121c';
const WHITE = '#fff';

/**
 * A sign of the international system in simple shapes: red square on its point, black on white in every light, as on the
 * label. Drawn for this program after the symbols of UN GHS annex 1, which anyone may use.
 */
export function HazardSignPicture({ sign, size = '2.6em' }: { readonly sign: HazardSign; readonly size?: string }) {
	return (
		<svg
			className="hazard-sign"
			viewBox="0 0 100 100"
			style={{ width: size, height: size }}
			role="img"
			aria-label={`${sign} ${hazardSigns[sign]}`}
		>
			<title>{`${sign} ${hazardSigns[sign]}`}</title>
			<path d="M50 4 L96 50 L50 96 L4 50 Z" fill={WHITE} stroke={RED} strokeWidth={6} strokeLinejoin="miter" />
			<g transform={`translate(50 ${middle[sign]?.y ?? 50}) scale(${middle[sign]?.scale ?? 1}) translate(-50 -50)`}>
				{symbols[sign]}
			</g>
		</svg>
	);
}

/** Several signs in a row. */
export function HazardSigns({ signs, size }: { readonly signs: readonly HazardSign[]; readonly size?: string }) {
	return (
		<span className="hazard-signs">
			{signs.map((sign) => (
				<HazardSignPicture key={sign} sign={sign} {...(size ? { size } : {})} />
			))}
		</span>
	);
}

const stroke = { fill: 'none', stroke: BLACK, strokeLinecap: 'round', strokeLinejoin: 'round' } as const;

/** Where a symbol is set smaller, so that nothing of it touches the edge. */
const middle: Partial<Record<HazardSign, { readonly y: number; readonly scale: number }>> = {
	GHS01: { y: 48, scale: 0.92 },
	GHS03: { y: 49, scale: 0.88 },
	GHS04: { y: 50, scale: 0.92 },
	GHS05: { y: 47, scale: 0.8 },
	GHS06: { y: 48, scale: 0.8 },
	GHS08: { y: 48, scale: 0.88 },
	GHS09: { y: 45, scale: 0.8 },
};

/** A flame standing on y = 0, 40 high. */
const FLAME =
	'M0 0 C-14 0 -17 -10 -14 -18 C-12 -23 -8 -25 -8 -31 C-4 -28 -4 -25 -4 -23 C-1 -28 2 -33 -1 -41 C8 -36 11 -29 9 -22 C11 -23 12 -25 12 -28 C17 -20 17 -1 0 0 Z M-1 -3 C6 -4 7 -10 3 -16 C2 -13 0 -13 -1 -15 C-2 -12 -6 -10 -5 -6 C-4 -4 -3 -3 -1 -3 Z';

const symbols: Readonly<Record<HazardSign, ReactNode>> = {
	GHS01: (
		<>
			<circle cx={43} cy={61} r={12} fill={BLACK} />
			<path d="M50 50 L56 42" {...stroke} strokeWidth={5} />
			<path d="M58 26 L60 36 L69 29 L66 39 L78 40 L67 45 L74 54 L63 49 L59 58 L57 47" {...stroke} strokeWidth={2.6} />
			<path d="M33 40 L37 46 M24 50 L31 54 M62 64 L69 68" {...stroke} strokeWidth={3.4} />
			<path d="M44 34 l3 4 M22 60 l5 0 M60 72 l4 4" {...stroke} strokeWidth={3} />
		</>
	),
	GHS02: (
		<>
			<path d={FLAME} transform="translate(50 64) scale(1.05)" fill={BLACK} fillRule="evenodd" />
			<path d="M34 70 H66" {...stroke} strokeWidth={5} strokeLinecap="butt" />
		</>
	),
	GHS03: (
		<>
			<path d={FLAME} transform="translate(50 52) scale(0.78)" fill={BLACK} fillRule="evenodd" />
			<circle cx={50} cy={60} r={11} fill={WHITE} stroke={BLACK} strokeWidth={5} />
			<path d="M34 77 H66" {...stroke} strokeWidth={4.5} strokeLinecap="butt" />
		</>
	),
	GHS04: (
		<g transform="rotate(-30 50 51)">
			<path
				d="M24 44 H63 C70 44 71 47 75 48.5 L79 48.5 V55.5 L75 55.5 C71 57 70 60 63 60 H24 C20 60 20 44 24 44 Z"
				fill={BLACK}
			/>
			<path d="M29 48.5 H57" stroke={WHITE} strokeWidth={2.4} strokeLinecap="round" />
			<rect x={80} y={47} width={4} height={10} fill={BLACK} />
		</g>
	),
	GHS05: (
		<>
			<g transform="rotate(20 35 33)">
				<rect x={26} y={28} width={20} height={8} rx={3.5} fill={WHITE} stroke={BLACK} strokeWidth={2.6} />
				<rect x={36} y={32} width={10} height={3} fill={BLACK} />
			</g>
			<g transform="rotate(-20 65 33)">
				<rect x={54} y={28} width={20} height={8} rx={3.5} fill={WHITE} stroke={BLACK} strokeWidth={2.6} />
				<rect x={54} y={32} width={10} height={3} fill={BLACK} />
			</g>
			<path d="M44 40 v1 M43 46 v2 M44 53 v2 M55 40 v1 M56 46 v2 M55 53 v2" {...stroke} strokeWidth={3} />
			<path d="M19 60 H38 L41 65 L46 64 L47 60 H51 V70 H29 Z" fill={BLACK} />
			<path d="M54 62 C60 57 66 60 70 57 L79 50 L82 55 L66 70 H54 C58 68 55 65 54 62 Z" fill={BLACK} />
		</>
	),
	GHS06: (
		<>
			<path d="M29 60 L71 76 M71 60 L29 76" {...stroke} strokeWidth={5} />
			<path d="M27 57 l-1 6 M74 57 l-1 6 M27 79 l-1 -6 M74 79 l-1 -6" {...stroke} strokeWidth={4.5} />
			<path
				d="M50 21 C36 21 31 30 31 39 C31 45 34 48 38 50 L38 56 C38 60 42 62 50 62 C58 62 62 60 62 56 L62 50 C66 48 69 45 69 39 C69 30 64 21 50 21 Z"
				fill={BLACK}
				stroke={WHITE}
				strokeWidth={2}
			/>
			<ellipse cx={42} cy={41} rx={5.2} ry={4.8} fill={WHITE} />
			<ellipse cx={58} cy={41} rx={5.2} ry={4.8} fill={WHITE} />
			<path d="M50 45 L47 51 H53 Z" fill={WHITE} />
			<path d="M44 56 V61 M50 56 V61.5 M56 56 V61" stroke={WHITE} strokeWidth={1.8} />
		</>
	),
	GHS07: (
		<>
			<path d="M50 22 C56.5 22 59 27 58 33 L54.5 57 H45.5 L42 33 C41 27 43.5 22 50 22 Z" fill={BLACK} />
			<circle cx={50} cy={70} r={6.5} fill={BLACK} />
		</>
	),
	GHS08: (
		<>
			<circle cx={50} cy={26} r={9} fill={BLACK} />
			<path d="M28 72 V52 C28 43 36 37 43 36 L50 42 L57 36 C64 37 72 43 72 52 V72 Z" fill={BLACK} />
			<path
				d="M50 42.5 L53 51 L62 48 L57 56 L65 61 L55.5 62 L56 71 L50 64.5 L44 71 L44.5 62 L35 61 L43 56 L38 48 L47 51 Z"
				fill={WHITE}
			/>
		</>
	),
	GHS09: (
		<>
			<path d="M24 68 H50 M18 61 H30" {...stroke} strokeWidth={3} strokeLinecap="butt" />
			<path
				d="M37 66 L38 50 L30 41 M38 51 L37 33 M38 46 L46 35 M42 41 L41 31 M34 45 L26 46 M37 39 L31 31"
				{...stroke}
				strokeWidth={3.2}
			/>
			<path d="M30 66 H46 L43 70 H34 Z" fill={BLACK} />
			<path d="M52 66 C56 58 66 56 73 62 L81 56 L79 64 L82 70 L74 67 C67 74 57 73 52 66 Z" fill={BLACK} />
			<circle cx={59} cy={64.5} r={1.8} fill={WHITE} />
			<path d="M47 74 C52 71 56 78 61 76" {...stroke} strokeWidth={2.6} />
		</>
	),
};
