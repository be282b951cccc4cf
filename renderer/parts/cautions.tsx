const always = [
	'The product label comes first. Where it differs from what is shown here, follow the label.',
	'Wear the protective equipment the labels ask for, from the first container to the last rinse.',
	'Keep to the local code of practice for filling, spraying, water protection and the disposal of containers.',
	'For operators who hold the certificate or licence the law asks for. The figures inform; the operator decides.',
] as const;

type Props = {
	/** They come first: protective equipment and cautions of this mix. */
	readonly lines?: readonly string[];
	/** `lines` say the usual already. */
	readonly complete?: boolean;
};

/** The cautions that stand on every plan and load card. */
export function Cautions({ lines = [], complete = false }: Props) {
	const shown = [...new Set(complete ? lines : [...lines, ...always])];
	return (
		<ul className="cautions unbroken" aria-label="Cautions">
			{shown.map((line) => (
				<li key={line}>{line}</li>
			))}
		</ul>
	);
}
