import { Button } from '@mantine/core';
import { useState } from 'react';
import type { Store } from '../../../shared/contract/store-list.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { StorePlanPicture } from '../../pictures/store-plan.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { DocumentForm } from './document-forms.tsx';
import { PlanEditor } from './plan-editor.tsx';

/** The plan of the building: drawn here, or a picture of one. It goes on the list for emergencies. */
export function BuildingPlan({ site }: { readonly site: Store }) {
	const { storeId } = site;
	const [opened, setOpened] = useState<'draw' | 'picture' | null>(null);
	const documents = useProcedure(['documents', 'store', storeId], (api) => api.documents.list({ storeId }));
	const picture = documents.answer?.find(({ kind, state }) => kind === 'store plan' && state === 'current');
	const shown = useProcedure(
		['document picture', picture?.id],
		(api) => api.documents.picture({ documentId: picture?.id ?? '' }),
		{ enabled: picture !== undefined && site.plan === null },
	);
	const close = () => setOpened(null);
	return (
		<>
			<h2>Plan</h2>
			{site.plan ? (
				<StorePlanPicture plan={site.plan} />
			) : shown.answer ? (
				<img src={shown.answer.dataUrl} alt="Plan of the store" style={{ maxWidth: '100%' }} />
			) : (
				<p className="quiet">
					None yet. With one, the list for emergencies shows where what stands, and the count sheet follows the shelves.
				</p>
			)}
			<div className="row above-small screen-only">
				<Button variant="default" onClick={() => setOpened('draw')}>
					{site.plan ? 'Change the plan' : 'Draw the plan'}
				</Button>
				{site.plan === null && (
					<Button variant="subtle" onClick={() => setOpened('picture')}>
						{picture ? 'Another picture' : 'Use a picture of one'}
					</Button>
				)}
			</div>
			<Dialog title="Plan of the store" opened={opened === 'draw'} onClose={close} size="widest">
				<PlanEditor site={site} onClose={close} />
			</Dialog>
			<Dialog title="Picture of the plan" opened={opened === 'picture'} onClose={close}>
				<DocumentForm kinds={['store plan']} storeId={storeId} replaces={picture} onClose={close} />
			</Dialog>
		</>
	);
}
