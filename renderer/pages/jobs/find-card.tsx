import { Button, TextInput } from '@mantine/core';
import { useEffect, useRef, useState } from 'react';
import { useLocation } from 'wouter';
import { apiOf, useBook } from '../../api.ts';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { problemOf, type ShownProblem } from '../../problem.ts';

/** The code at the head of a load card, typed in, opens that load for logging. */
export function FindCard() {
	const book = useBook();
	const [, go] = useLocation();
	const [code, setCode] = useState('');
	const [problem, setProblem] = useState<ShownProblem | undefined>();
	const input = useRef<HTMLInputElement>(null);
	useEffect(() => input.current?.focus({ preventScroll: true }), []);

	async function find(): Promise<void> {
		const typed = code.trim();
		if (typed === '') return;
		setProblem(undefined);
		try {
			const api = await apiOf(book);
			const { jobId, load } = await api.jobs.findCard({ code: typed });
			go(`/jobs/${jobId}/${load}/log`);
		} catch (error) {
			setProblem(problemOf(error));
		}
	}

	return (
		<form
			className="find-card screen-only"
			onSubmit={(event) => {
				event.preventDefault();
				void find();
			}}
		>
			<div className="row">
				<TextInput
					ref={input}
					aria-label="Code on the load card"
					placeholder="Code on the load card"
					autoComplete="off"
					maxLength={20}
					value={code}
					onChange={(event) => setCode(event.currentTarget.value)}
				/>
				<Button type="submit" variant="default">
					Log that load
				</Button>
				<Button variant="subtle" onClick={() => go('/jobs/cards')}>
					Several cards at once
				</Button>
			</div>
			{problem && (
				<ProblemNotice
					problem={
						problem.code === 'not.found'
							? {
									...problem,
									sentence: `No load card carries the code ${code.trim()}. It stands at the head of the card.`,
								}
							: problem
					}
				/>
			)}
		</form>
	);
}
