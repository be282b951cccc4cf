import { Route, Switch } from 'wouter';
import { IncidentsPage } from '../incidents/incidents-page.tsx';
import { NotFound } from '../not-found.tsx';
import { DiaryPage } from './diary-page.tsx';
import { RecordPage } from './record-page.tsx';
import './records.css';

/** The spray records: the diary, and one record with its versions. */
export function RecordsChapter() {
	return (
		<Switch>
			<Route path="/records" component={DiaryPage} />
			<Route path="/records/incidents" component={IncidentsPage} />
			<Route path="/records/:id">{({ id }) => <RecordPage key={id} id={id} />}</Route>
			<Route component={NotFound} />
		</Switch>
	);
}
