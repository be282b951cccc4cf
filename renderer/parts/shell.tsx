import { useMantineColorScheme } from '@mantine/core';
import type { ReactNode } from 'react';
import { Link, useLocation } from 'wouter';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { useBook } from '../api.ts';
import { figure, today } from '../format.ts';
import { useProcedure } from '../use-procedure.ts';
import { useFromTheTop } from './from-the-top.ts';

const chapters = [
	['/fields', 'Fields'],
	['/store', 'Store'],
	['/sprayers', 'Sprayers'],
	['/jobs', 'Jobs'],
	['/records', 'Records'],
	['/season', 'Season'],
] as const;

/** The frame of every page: whose book this is, where to go, and whether any of it is real. */
export function Shell({ children }: { readonly children: ReactNode }) {
	useFromTheTop();
	return (
		<>
			<button type="button" className="skip" onClick={focusPage}>
				Skip to the page
			</button>
			<Top />
			<DemoRibbon />
			<OpeningRibbon />
			<main id="page" tabIndex={-1}>
				{children}
			</main>
		</>
	);
}

function Top() {
	const [location] = useLocation();
	const { answer: settings } = useProcedure(['settings'], (api) => api.settings.get({}));
	const harvest = settings ? seasonOf(today(), settings.seasonStartMonth) : undefined;
	return (
		<header className="top">
			<Link href="/" className="name">
				Fillmark
			</Link>
			{settings?.farmName && (
				<span className="quiet">
					{settings.farmName} · harvest {harvest}
				</span>
			)}
			<nav aria-label="Chapters">
				{chapters.map(([path, name]) => (
					<Link key={path} href={path} aria-current={isUnder(location, path) ? 'page' : undefined}>
						{name}
					</Link>
				))}
			</nav>
			<div className="aside">
				<Link href="/settings" className="settings" aria-current={isUnder(location, '/settings') ? 'page' : undefined}>
					Settings
				</Link>
				<ColourSwitch />
			</div>
		</header>
	);
}

/** Says on every page of the demonstration farm that it is one. */
export function DemoRibbon() {
	if (useBook() !== 'demo') return null;
	return (
		<aside className="ribbon" aria-label="Demonstration farm">
			<span>Demonstration farm: nothing here is real.</span>
			<a href="#/farm">Go to your own farm’s book</a>
		</aside>
	);
}

/** How far the looking through of the book is; asked again while it goes on. */
export function useOpening() {
	return useProcedure(['opening'], (api) => api.upkeep.opening({}), {
		everyS: (opening) => (opening?.state === 'under way' ? 1 : undefined),
	});
}

/** While a large book is looked through: what can be done meanwhile, and what waits. */
export function OpeningRibbon() {
	const { answer } = useOpening();
	if (answer?.state !== 'under way') return null;
	return (
		<aside className="ribbon" aria-label="Opening the book">
			<span role="status">The whole book, {figure(answer.megabytes)} MB, is being looked through for damage.</span>
			<span className="quiet">
				Everything can be read meanwhile. What is saved now is kept as soon as that is done ({answer.forS} s so far).
			</span>
		</aside>
	);
}

/** By day, by night, or as the computer is set; kept on this computer. */
export function ColourSwitch() {
	const { colorScheme, setColorScheme } = useMantineColorScheme();
	const next = colorScheme === 'auto' ? 'light' : colorScheme === 'light' ? 'dark' : 'auto';
	const now = { auto: 'as the computer', light: 'day', dark: 'night' }[colorScheme];
	const then = { auto: 'as the computer', light: 'day', dark: 'night' }[next];
	return (
		<button
			type="button"
			className="colours"
			aria-label={`Colours: ${now}; next: ${then}`}
			title={`Colours: ${now}`}
			onClick={() => setColorScheme(next)}
		>
			<svg width="18" height="18" viewBox="0 0 18 18" aria-hidden="true">
				<circle
					cx="9"
					cy="9"
					r="7.5"
					fill={colorScheme === 'dark' ? 'currentColor' : 'none'}
					stroke="currentColor"
					strokeWidth="1.5"
				/>
				{colorScheme === 'auto' && <path d="M9 1.5a7.5 7.5 0 0 1 0 15z" fill="currentColor" />}
			</svg>
		</button>
	);
}

function isUnder(location: string, path: string): boolean {
	return location === path || location.startsWith(`${path}/`);
}

/** A button, not a link: the fragment of the address belongs to the router. */
function focusPage(): void {
	document.getElementById('page')?.focus();
}
