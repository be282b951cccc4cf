import { Route, Switch } from 'wouter';
import { NotFound } from '../not-found.tsx';
import { BooksPage } from './books-page.tsx';
import { ChangesPage } from './changes-page.tsx';
import { FarmPage } from './farm-page.tsx';
import { MapPage } from './map-page.tsx';
import { OperatorsPage } from './operators-page.tsx';
import { RulesPage } from './rules-page.tsx';
import './settings.css';

/** What holds for the whole farm: its name and season, the record rules, the books themselves, who changed what. */
export function SettingsChapter() {
	return (
		<Switch>
			<Route path="/settings" component={FarmPage} />
			<Route path="/settings/operators" component={OperatorsPage} />
			<Route path="/settings/rules" component={RulesPage} />
			<Route path="/settings/map" component={MapPage} />
			<Route path="/settings/books" component={BooksPage} />
			<Route path="/settings/changes" component={ChangesPage} />
			<Route component={NotFound} />
		</Switch>
	);
}
