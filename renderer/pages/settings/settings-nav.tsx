import { SubNav } from '../../parts/sub-nav.tsx';

const parts = [
	['/settings', 'Farm'],
	['/settings/operators', 'Operators'],
	['/settings/rules', 'Record rules'],
	['/settings/map', 'Map'],
	['/settings/books', 'Books and backups'],
	['/settings/changes', 'Who changed what'],
] as const;

/** The parts of the settings. */
export function SettingsNav({ at }: { readonly at: (typeof parts)[number][0] }) {
	return <SubNav label="Parts of the settings" parts={parts} at={at} />;
}
