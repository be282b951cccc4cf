import { Link } from 'wouter';
import { figure, shortDate } from '../../format.ts';
import { useUnits } from '../../units.ts';
import type { Finding, ProductBalance } from './measures-page.tsx';
import { ProductBars } from './product-bars.tsx';

type Cause = Finding['causes'][number];

/** One difference: what is seen, then every cause the figures cannot take apart, the likeliest first, with where to look. */
export function FindingEntry(props: {
	readonly finding: Finding;
	readonly products: readonly ProductBalance[];
	readonly number: number;
}) {
	const farmUnits = useUnits();
	const { finding, products, number } = props;
	const { causes, accuses, evidence, checkNext, aboveNoise } = finding;
	const [first] = causes;
	return (
		<article className="finding" aria-label={`Difference ${number}`}>
			<h2 className="seen">
				<span className="chip">{farmUnits.amount(Number(finding.size.toFixed(2)), finding.unit)}</span>{' '}
				{withDates(evidence)}
			</h2>
			<p className="quiet small">
				{figure(aboveNoise, 1)} times the usual error of measuring.{' '}
				{causes.length > 1
					? `${causes.length} causes can explain it; the figures cannot tell them apart, only weigh them.`
					: 'One cause explains it.'}
			</p>
			<div className={products.length > 0 ? 'weighed' : undefined}>
				<ol className="causes">
					{causes.map((cause) => (
						<CauseEntry key={`${cause.cause} ${cause.evidence}`} cause={cause} accuses={accuses} />
					))}
				</ol>
				{products.length > 0 && (
					<div className="pictures">
						{products.map((product) => (
							<ProductBars key={product.productId} product={product} accused />
						))}
					</div>
				)}
			</div>
			{checkNext !== first?.checkNext && checkNext !== '' && (
				<p>
					<b>Look first:</b> {withDates(checkNext)}
				</p>
			)}
		</article>
	);
}

function CauseEntry({ cause, accuses }: { readonly cause: Cause; readonly accuses: boolean }) {
	const percent = Math.round(100 * cause.share);
	const place = placeToLook(cause);
	return (
		<li>
			<div className="weight" role="img" aria-label={accuses ? `weight ${percent} of 100` : 'not weighed'}>
				{accuses && (
					<>
						<span style={{ width: `${Math.max(2, percent)}%` }} />
						<i>{percent} %</i>
					</>
				)}
			</div>
			<div>
				<h3>{capital(cause.cause)}</h3>
				<p>{withDates(cause.evidence)}</p>
				<p className="quiet">
					{withDates(cause.checkNext)}{' '}
					{place && (
						<Link className="screen-only" href={place.href}>
							{place.words}
						</Link>
					)}
				</p>
			</div>
		</li>
	);
}

/** The page on which a cause can be looked into. */
function placeToLook({ cause, jobIds, fieldIds }: Cause): { readonly href: string; readonly words: string } | null {
	const [job] = jobIds;
	const [field] = fieldIds;
	switch (cause) {
		case 'wrong count':
			return { href: '/store/counts', words: 'Stock takes' };
		case 'delivery not booked':
		case 'delivery booked, not received':
		case 'loss not booked':
			return { href: '/store/ledger', words: 'Store ledger' };
		case 'register area':
			return field ? { href: `/fields/${field}`, words: 'The field' } : { href: '/fields', words: 'Fields' };
		case 'area counter':
		case 'inlet meter':
		case 'controller litres':
		case 'rate':
			return { href: '/sprayers', words: 'Sprayers' };
		default:
			return job ? { href: `/jobs/${job}`, words: 'The job' } : { href: '/jobs', words: 'Jobs' };
	}
}

/** Dates in a sentence of the core, as the rest of the page writes them. */
function withDates(text: string): string {
	return text.replace(/\b\d{4}-\d{2}-\d{2}\b/g, shortDate);
}

function capital(text: string): string {
	return text.charAt(0).toUpperCase() + text.slice(1);
}
