import { useEffect } from 'react';
import { Redirect, Route, Router, Switch } from 'wouter';
import { useHashLocation } from 'wouter/use-hash-location';
import { displayUnitsOf } from '../shared/core/display/display-units.ts';
import { BookContext, useBook } from './api.ts';
import { bookOf, rememberBook } from './book.ts';
import { BackgroundContext } from './map/background.ts';
import { DamagedBook } from './pages/damaged-book.tsx';
import { DemoOpening } from './pages/demo-opening.tsx';
import { DrawPage } from './pages/fields/draw-page.tsx';
import { FieldPage } from './pages/fields/field-page.tsx';
import { FieldsPage } from './pages/fields/fields-page.tsx';
import { ObstaclePage } from './pages/fields/obstacle-page.tsx';
import { SpacesPage } from './pages/fields/spaces-page.tsx';
import { SplitPage } from './pages/fields/split-page.tsx';
import { StripPage } from './pages/fields/strip-page.tsx';
import { FillPage } from './pages/fill/fill-page.tsx';
import { JobsChapter } from './pages/jobs/jobs-chapter.tsx';
import { NotFound } from './pages/not-found.tsx';
import { RecordsChapter } from './pages/records/records-chapter.tsx';
import { SeasonChapter } from './pages/season/season-chapter.tsx';
import { SettingsChapter } from './pages/settings/settings-chapter.tsx';
import { SprayersPage } from './pages/sprayers/sprayers-page.tsx';
import { StartPage } from './pages/start-page.tsx';
import { StorePage } from './pages/store/store-page.tsx';
import { Answered, Page } from './parts/page.tsx';
import { Shell, useOpening } from './parts/shell.tsx';
import { UnitsContext, unitsIn } from './units.ts';
import { type Asked, useProcedure } from './use-procedure.ts';

/** Addresses read `#/farm/fields/…` or `#/demo/fields/…`: the book first, so that a link always opens the right one. */
export function App() {
	const [location] = useHashLocation();
	const book = bookOf(location);
	useEffect(() => rememberBook(book), [book]);
	const namesBook = location === `/${book}` || location.startsWith(`/${book}/`);
	if (!namesBook) {
		return (
			<Router hook={useHashLocation}>
				<Redirect to={`/${book}${location === '/' ? '' : location}`} replace />
			</Router>
		);
	}
	return (
		<BookContext value={book}>
			<Router key={book} base={`/${book}`} hook={useHashLocation}>
				<Pages />
			</Router>
		</BookContext>
	);
}

/** A book without a farm has one thing to do first. */
function Pages() {
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	const opening = useOpening();
	const book = useBook();
	const damage = damageOf(opening, settings);
	if (damage !== null) return <DamagedBook why={damage} />;
	if (settings.answer?.farmName === null) return book === 'demo' ? <DemoOpening /> : <StartPage />;
	return (
		<UnitsContext value={unitsIn[settings.answer ? displayUnitsOf(settings.answer) : 'metric']}>
			<BackgroundContext value={settings.answer?.background ?? null}>
				<Switch>
					<Route path="/jobs/:id/fill/:load">
						{({ id, load }) => <FillPage key={`${id} ${load}`} id={id} load={Number(load)} />}
					</Route>
					<Route>
						<InShell opened={settings} />
					</Route>
				</Switch>
			</BackgroundContext>
		</UnitsContext>
	);
}

/** What is wrong with the book, where it is damaged. */
function damageOf(opening: ReturnType<typeof useOpening>, settings: Asked<unknown>): string | null {
	if (opening.answer?.state === 'damaged') return opening.answer.why;
	const refused = [opening.problem, settings.problem].find((problem) => problem?.code === 'data.damaged');
	return refused ? String(refused.details['why'] ?? '') : null;
}

function InShell({ opened }: { readonly opened: Asked<unknown> }) {
	return (
		<Shell>
			{opened.answer ? (
				<Chapters />
			) : (
				<Page title="Opening">
					<section>
						<Answered asked={opened}>{() => null}</Answered>
					</section>
				</Page>
			)}
		</Shell>
	);
}

function Chapters() {
	return (
		<Switch>
			<Route path="/">
				<Redirect to="/fields" replace />
			</Route>
			<Route path="/fields" component={FieldsPage} />
			<Route path="/fields/draw">
				<DrawPage />
			</Route>
			<Route path="/fields/:id">{({ id }) => <FieldPage key={id} id={id} />}</Route>
			<Route path="/fields/:id/boundary">{({ id }) => <DrawPage key={id} id={id} />}</Route>
			<Route path="/fields/:id/obstacle">{({ id }) => <ObstaclePage key={id} id={id} />}</Route>
			<Route path="/fields/:id/strip">{({ id }) => <StripPage key={id} id={id} />}</Route>
			<Route path="/fields/:id/split">{({ id }) => <SplitPage key={id} id={id} />}</Route>
			<Route path="/spaces" component={SpacesPage} />
			<Route path="/store">
				<StorePage />
			</Route>
			<Route path="/store/:part">{({ part }) => <StorePage part={part} />}</Route>
			<Route path="/sprayers" component={SprayersPage} />
			<Route path="/jobs/*?">
				<JobsChapter />
			</Route>
			<Route path="/records/*?">
				<RecordsChapter />
			</Route>
			<Route path="/season/*?">
				<SeasonChapter />
			</Route>
			<Route path="/settings/*?">
				<SettingsChapter />
			</Route>
			<Route component={NotFound} />
		</Switch>
	);
}
