import { SubNav } from '../../parts/sub-nav.tsx';

const parts = [
	['/records', 'Spray records'],
	['/records/incidents', 'Incidents'],
] as const;

/** The parts of the records chapter. */
export function RecordsNav({ at }: { readonly at: (typeof parts)[number][0] }) {
	return <SubNav label="Parts of the records" parts={parts} at={at} />;
}
