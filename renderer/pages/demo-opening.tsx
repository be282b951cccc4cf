import { Loader } from '@mantine/core';
import { useEffect, useRef } from 'react';
import { LonePage } from '../parts/lone-page.tsx';
import { ProblemNotice } from '../parts/problem-notice.tsx';
import { useCommand } from '../use-procedure.ts';
import './start-page.css';

/** Shown once, while the demonstration farm's seasons are written into a book of their own. */
export function DemoOpening() {
	const build = useCommand((api, _: null) => api.upkeep.buildDemo({}));
	const asked = useRef(false);
	useEffect(() => {
		if (asked.current) return;
		asked.current = true;
		void build.run(null);
	}, [build]);
	return (
		<LonePage>
			<p className="start-lead">
				Laying out the demonstration farm: two seasons of fields, deliveries, loads and stock takes.
			</p>
			{build.problem ? (
				<ProblemNotice problem={build.problem} />
			) : (
				<p className="quiet">
					<Loader size="sm" /> A few seconds. None of it is real, and none of it touches your own book.
				</p>
			)}
		</LonePage>
	);
}
