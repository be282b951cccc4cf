import type { LimitFinding } from '../../../shared/contract/limits.ts';
import { isKeptAfterwards } from '../../../shared/core/limits/limit.ts';
import { figure } from '../../format.ts';
import { useUnits } from '../../units.ts';
import { AnswerGround } from './answer-ground.tsx';

type Group = {
	readonly key: string;
	readonly finding: LimitFinding;
	readonly fields: readonly { readonly fieldId: string; readonly name: string }[];
};

const verdicts = {
	block: { word: 'stops', chip: 'chip stop' },
	warn: { word: 'look', chip: 'chip' },
	ask: { word: 'answer', chip: 'chip plain' },
	unknown: { word: 'not known', chip: 'chip plain' },
	keep: { word: 'to keep', chip: 'chip plain' },
	ok: { word: 'kept', chip: 'chip plain' },
} as const;
/** Where the books take the answer to a question from, so that it is not asked again. */
const answeredBy: Readonly<Record<string, string>> = {
	harvestInterval: 'The harvest expected, entered with the crop of the field, answers it.',
	buffer: 'The buffer of the job, or a strip on the field, answers it.',
	stage: 'The growth stage of the job answers it.',
};
type Said = keyof typeof verdicts;
const order: readonly Said[] = ['block', 'warn', 'ask', 'keep', 'unknown'];

/** What the limits of labels and fields say to a job, the same sentence once for all the fields it holds on. */
export function LimitFindings(props: {
	readonly limits: readonly LimitFinding[];
	/** The fields of the job, or its closed spaces, to say "all fields" where it holds on all. */
	readonly fields: readonly { readonly fieldId: string }[];
	readonly spaces?: readonly { readonly spaceId: string }[] | undefined;
	readonly heading?: string;
}) {
	const farmUnits = useUnits();
	const groups = groupsOf(props.limits);
	const spaces = props.spaces?.length ?? 0;
	const all = spaces || new Set(props.fields.map(({ fieldId }) => fieldId)).size;
	const [within, everywhere] = spaces > 0 ? ['In', 'In all closed spaces'] : ['On', 'On all fields'];
	return (
		<section aria-label={props.heading ?? 'Limits'} className="limit-findings">
			<h2>{props.heading ?? 'Limits'}</h2>
			{groups.length === 0 ? (
				<p className="quiet">
					No limit on the books stands against it. What nobody entered is not checked: the label comes first.
				</p>
			) : (
				<ul className="plain-list findings">
					{groups.map(({ key, finding, fields }) => (
						<li key={key}>
							<span className={verdicts[saidOf(finding)].chip}>{verdicts[saidOf(finding)].word}</span>
							<span>
								{finding.product && <b>{finding.product}. </b>}
								{farmUnits.say(finding.say)}{' '}
								<span className="quiet small">
									{fields.length >= all
										? all > 1
											? everywhere
											: ''
										: `${within} ${fields.map(({ name }) => name).join(', ')}`}
									{fields.length < all || all > 1 ? ', ' : ''}
									{finding.source}
									{finding.verdict === 'ask' && answeredBy[finding.kind] && `. ${answeredBy[finding.kind]}`}
								</span>
								{finding.kind === 'site' && typeof finding.limit === 'string' && (
									<span className="answer">
										<AnswerGround
											condition={finding.limit}
											fields={fields}
											holds={finding.value === 'yes' ? true : null}
										/>
									</span>
								)}
							</span>
						</li>
					))}
				</ul>
			)}
		</section>
	);
}

/** What stops a job's card, above all else on its page: it is looked for there, and the list stands far below. */
export function StoppedByLimits({ limits }: { readonly limits: readonly LimitFinding[] }) {
	const [first, ...others] = groupsOf(limits).filter(({ finding }) => finding.verdict === 'block');
	if (!first) return null;
	const { product, say } = first.finding;
	return (
		<div className="notice stop above-small" role="alert">
			<span className="word">Stop</span>
			<div>
				No card is printed as it stands. {product && <b>{product}. </b>}
				{say}
				{others.length > 0 && ` ${figure(others.length)} more under Limits.`}
			</div>
		</div>
	);
}

function groupsOf(limits: readonly LimitFinding[]): Group[] {
	const shown = limits.filter(({ verdict }) => verdict !== 'ok');
	const grouped = Map.groupBy(shown, ({ verdict, kind, productId, say }) =>
		[verdict, kind, productId ?? '', say].join('|'),
	);
	return [...grouped]
		.flatMap(([key, findings]) => {
			const [finding] = findings;
			const fields = new Map(findings.map(({ fieldId, field }) => [fieldId, { fieldId, name: field ?? '?' }]));
			return finding ? [{ key, finding, fields: [...fields.values()] }] : [];
		})
		.sort((a, b) => rank(a.finding) - rank(b.finding));
}

/** A waiting time that begins with the treatment asks for nothing yet. */
function saidOf(finding: LimitFinding): Said {
	return finding.verdict === 'warn' && isKeptAfterwards(finding) ? 'keep' : finding.verdict;
}

function rank(finding: LimitFinding): number {
	return order.indexOf(saidOf(finding));
}
