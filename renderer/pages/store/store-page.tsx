import { Link } from 'wouter';
import { Empty } from '../../parts/empty.tsx';
import { Page, PageHead } from '../../parts/page.tsx';
import { CountsSection } from './counts.tsx';
import { EmptiesSection } from './empties.tsx';
import { LedgerSection } from './ledger.tsx';
import { OnHand } from './on-hand.tsx';
import { ProductsSection } from './products.tsx';
import { StockTakePage } from './stock-take-page.tsx';
import { WatchSection } from './watch.tsx';

/** The chemical store: what is on hand, the ledger behind it, the products, the stock takes, the empties, what to watch. */
export function StorePage({ part }: { readonly part?: string | undefined }) {
	switch (part) {
		case undefined:
			return <OnHand />;
		case 'ledger':
			return <LedgerSection />;
		case 'products':
			return <ProductsSection />;
		case 'counts':
			return <CountsSection />;
		case 'stock-take':
			return <StockTakePage />;
		case 'empties':
			return <EmptiesSection />;
		case 'watch':
			return <WatchSection />;
		default:
			return (
				<Page title="Store">
					<section>
						<PageHead title="Store" />
						<Empty title="The store has no such page." next={<Link href="/store">See what is on hand</Link>} />
					</section>
				</Page>
			);
	}
}
