import { type ReactNode, useEffect } from 'react';
import type { Asked, Command } from '../use-procedure.ts';
import { ProblemNotice } from './problem-notice.tsx';

/**
 * A page in columns. `two` = wide left, narrow right; `two-map` = the same with room for a map on the right; `two-left` = narrow left, wide right; `three` as a job page.
 * Each child is a `<section>`. `title` names the window.
 */
export function Page(props: {
	readonly title: string;
	readonly columns?: 'one' | 'two' | 'two-map' | 'two-left' | 'three';
	readonly children: ReactNode;
}) {
	useEffect(() => {
		document.title = `${props.title} · Fillmark`;
	}, [props.title]);
	return <div className={`page ${props.columns ?? 'one'}`}>{props.children}</div>;
}

/** Heading of a page: what it is, one quiet line under it, and what can be done at the right. */
export function PageHead(props: {
	readonly title: ReactNode;
	readonly under?: ReactNode;
	readonly children?: ReactNode;
}) {
	return (
		<div className="page-head">
			<div>
				<h1>{props.title}</h1>
				{props.under && <p className="quiet">{props.under}</p>}
			</div>
			{props.children && <div className="row screen-only">{props.children}</div>}
		</div>
	);
}

/** Shows an answer once it is there; before that a quiet word, after a refusal its sentence. */
export function Answered<Answer>(props: {
	readonly asked: Asked<Answer>;
	readonly children: (answer: Answer) => ReactNode;
}) {
	const { answer, problem } = props.asked;
	if (answer !== undefined) return <>{props.children(answer)}</>;
	if (problem) return <ProblemNotice problem={problem} />;
	return (
		<p className="quiet" aria-busy="true">
			Reading the book …
		</p>
	);
}

/** Name and figure pairs with thin rules. An entry that is null or false is left out. */
export function Facts({ items }: { readonly items: readonly (readonly [string, ReactNode] | null | false)[] }) {
	return (
		<dl className="facts">
			{items.map((item) => (item ? <Fact key={item[0]} name={item[0]} value={item[1]} /> : null))}
		</dl>
	);
}

function Fact({ name, value }: { readonly name: string; readonly value: ReactNode }) {
	return (
		<>
			<dt>{name}</dt>
			<dd>{value}</dd>
		</>
	);
}

/**
 * An entry form for one command. The browser's own checks stop an unreadable or missing entry and put the focus there;
 * refusals stand above the buttons.
 */
export function EntryForm<Input, Answer>(props: {
	readonly command: Command<Input, Answer>;
	readonly onSubmit: () => void;
	readonly foot: ReactNode;
	readonly children: ReactNode;
}) {
	return (
		<form
			className="stack"
			onSubmit={(event) => {
				event.preventDefault();
				event.stopPropagation();
				props.onSubmit();
			}}
		>
			{props.children}
			<ProblemNotice problem={props.command.problem} />
			<div className="form-foot">{props.foot}</div>
		</form>
	);
}
