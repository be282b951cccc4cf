import { type ReactNode, useEffect, useRef } from 'react';
import type { JsonValue } from '../../shared/basics/problem.ts';
import type { ShownProblem } from '../problem.ts';
import { useUnits } from '../units.ts';

/** A refusal: what is wrong, with its figures and the cure. Read out at once, and brought into view: the button may be far from it. */
export function ProblemNotice({
	problem,
	children,
}: {
	readonly problem: ShownProblem | undefined;
	readonly children?: ReactNode;
}) {
	const { say } = useUnits();
	const notice = useRef<HTMLDivElement>(null);
	const said = problem && `${problem.code} ${problem.sentence}`;
	useEffect(() => {
		if (said) notice.current?.scrollIntoView({ block: 'nearest' });
	}, [said]);
	if (!problem) return null;
	const figures = Object.entries(problem.details).filter(([, value]) => value !== null && typeof value === 'object');
	return (
		<div className="notice stop" role="alert" ref={notice}>
			<span className="word">Not done</span>
			<div>
				{problem.code === 'key.reused' ? ALREADY_ENTERED : say(problem.sentence)}
				{children}
			</div>
			{figures.length > 0 && (
				<details>
					<summary>Details</summary>
					<dl>
						{figures.map(([name, value]) => (
							<Figure key={name} name={name} value={value} />
						))}
					</dl>
				</details>
			)}
		</div>
	);
}

const ALREADY_ENTERED =
	'This entry had already been saved when it was sent the first time. Check the list; to add the changed entry as a second one, save again.';

/** Things to look at beside a good answer. */
export function WarningList({
	warnings,
}: {
	readonly warnings: readonly {
		readonly code: string;
		readonly message: string;
		readonly record?: string | undefined;
	}[];
}) {
	const { say } = useUnits();
	if (warnings.length === 0) return null;
	return (
		<div className="notice" role="status">
			<span className="word">Look</span>
			{warnings.length === 1 ? (
				<div>{say(sentence(warnings[0]))}</div>
			) : (
				<ul>
					{warnings.map((warning) => (
						<li key={`${warning.code} ${warning.record ?? ''} ${warning.message}`}>{say(sentence(warning))}</li>
					))}
				</ul>
			)}
		</div>
	);
}

/** One line that something was done. */
export function DoneNotice({ children }: { readonly children: ReactNode }) {
	return (
		<div className="notice good" role="status">
			<span className="word">Done</span>
			<div>{children}</div>
		</div>
	);
}

function sentence(warning: { readonly message: string; readonly record?: string | undefined } | undefined): string {
	if (!warning) return '';
	const { record, message } = warning;
	// Most sentences name what they are about themselves.
	const told = message.toLowerCase();
	if (
		!record ||
		told.startsWith('the load ') ||
		told.startsWith(record.toLowerCase()) ||
		told.includes(`record ${record}`)
	)
		return message;
	return /^\d+$/.test(record) ? `Record ${record}, ${message}` : `${record}: ${message}`;
}

function Figure({ name, value }: { readonly name: string; readonly value: JsonValue }) {
	return (
		<>
			<dt>{name}</dt>
			<dd>{textOf(value)}</dd>
		</>
	);
}

function textOf(value: JsonValue): string {
	if (Array.isArray(value)) return value.map(textOf).join(', ');
	if (typeof value !== 'object' || value === null) return String(value);
	return Object.entries(value)
		.map(([name, inner]) => `${name} ${textOf(inner as JsonValue)}`)
		.join(', ');
}
