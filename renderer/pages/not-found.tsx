import { Button } from '@mantine/core';
import { Link } from 'wouter';
import { Empty } from '../parts/empty.tsx';
import { Page, PageHead } from '../parts/page.tsx';

/** An address that leads nowhere. */
export function NotFound() {
	return (
		<Page title="No such page">
			<section>
				<PageHead title="Not here" />
				<Empty
					title="There is no page at this address."
					next={
						<Button component={Link} href="/fields">
							Go to Fields
						</Button>
					}
				/>
			</section>
		</Page>
	);
}
