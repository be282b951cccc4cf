import { Route, Switch } from 'wouter';
import { CatchUpPage } from '../catch-up/catch-up-page.tsx';
import { NotFound } from '../not-found.tsx';
import { EnterRecommendation } from '../recommendations/enter-recommendation.tsx';
import { RecommendationsPage } from '../recommendations/recommendations-page.tsx';
import { CardPage } from './card-page.tsx';
import { JobPage } from './job-page.tsx';
import { JobsPage } from './jobs-page.tsx';
import { LogPage } from './log-page.tsx';
import { PlanPage } from './plan-page.tsx';
import { RestPage } from './rest-page.tsx';
import './jobs.css';

/** Every page about jobs: the list, planning, one job with its loads, the card of a load, logging it. */
export function JobsChapter() {
	return (
		<Switch>
			<Route path="/jobs" component={JobsPage} />
			<Route path="/jobs/new">
				<PlanPage />
			</Route>
			<Route path="/jobs/new/from/:recommendation">{({ recommendation }) => <PlanPage from={recommendation} />}</Route>
			<Route path="/jobs/recommendations" component={RecommendationsPage} />
			<Route path="/jobs/recommendations/new" component={EnterRecommendation} />
			<Route path="/jobs/cards" component={CatchUpPage} />
			<Route path="/jobs/:id/edit">{({ id }) => <PlanPage key={id} id={id} />}</Route>
			<Route path="/jobs/:id/rest">{({ id }) => <RestPage key={id} id={id} />}</Route>
			<Route path="/jobs/:id/:load?">
				{({ id, load }) => <JobPage key={id} id={id} load={load === undefined ? undefined : Number(load)} />}
			</Route>
			<Route path="/jobs/:id/:load/card">
				{({ id, load }) => <CardPage key={`${id} ${load}`} id={id} load={Number(load)} />}
			</Route>
			<Route path="/jobs/:id/:load/log">
				{({ id, load }) => <LogPage key={`${id} ${load}`} id={id} load={Number(load)} />}
			</Route>
			<Route component={NotFound} />
		</Switch>
	);
}
