import { Link } from 'wouter';

/** The parts of one chapter, under its heading. */
export function SubNav(props: {
	readonly label: string;
	readonly parts: readonly (readonly [path: string, name: string])[];
	readonly at: string;
}) {
	return (
		<nav className="sub-nav screen-only" aria-label={props.label}>
			{props.parts.map(([path, name]) => (
				<Link key={path} href={path} aria-current={props.at === path ? 'page' : undefined}>
					{name}
				</Link>
			))}
		</nav>
	);
}
