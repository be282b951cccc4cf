import { Route, Switch } from 'wouter';
import { NotFound } from '../not-found.tsx';
import { MeasuresPage } from './measures-page.tsx';
import { ReportsPage } from './reports-page.tsx';
import { StatementPage } from './statement-page.tsx';
import './season.css';

/** The season: ground, tank and store held against each other; its figures; its reports. */
export function SeasonChapter() {
	return (
		<Switch>
			<Route path="/season" component={MeasuresPage} />
			<Route path="/season/statement" component={StatementPage} />
			<Route path="/season/reports">
				<ReportsPage />
			</Route>
			<Route path="/season/reports/:report">{({ report }) => <ReportsPage report={report} />}</Route>
			<Route path="/season/reports/:report/:job">
				{({ report, job }) => <ReportsPage report={report} jobId={job} />}
			</Route>
			<Route component={NotFound} />
		</Switch>
	);
}
