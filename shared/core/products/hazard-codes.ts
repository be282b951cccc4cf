/** The nine signs of the international system, named rather than drawn. */
export const hazardSigns = {
	GHS01: 'exploding bomb',
	GHS02: 'flame',
	GHS03: 'flame over circle',
	GHS04: 'gas cylinder',
	GHS05: 'corrosion',
	GHS06: 'skull',
	GHS07: 'exclamation mark',
	GHS08: 'health hazard',
	GHS09: 'environment',
} as const;
export type HazardSign = keyof typeof hazardSigns;

export type HazardCode = { readonly says: string; readonly sign: HazardSign | null };

/**
 * Hazard statements met on plant protection products, with the sign that goes with them. Codes, wording and signs as in
 * Regulation (EC) No 1272/2008, annexes I and III, from memory. The label and the data sheet come first.
 */
export const hazardCodes: Readonly<Record<string, HazardCode>> = {
	H226: { says: 'flammable liquid and vapour', sign: 'GHS02' },
	H290: { says: 'may be corrosive to metals', sign: 'GHS05' },
	H301: { says: 'toxic if swallowed', sign: 'GHS06' },
	H302: { says: 'harmful if swallowed', sign: 'GHS07' },
	H304: { says: 'may be fatal if swallowed and enters airways', sign: 'GHS08' },
	H311: { says: 'toxic in contact with skin', sign: 'GHS06' },
	H312: { says: 'harmful in contact with skin', sign: 'GHS07' },
	H314: { says: 'causes severe skin burns and eye damage', sign: 'GHS05' },
	H315: { says: 'causes skin irritation', sign: 'GHS07' },
	H317: { says: 'may cause an allergic skin reaction', sign: 'GHS07' },
	H318: { says: 'causes serious eye damage', sign: 'GHS05' },
	H319: { says: 'causes serious eye irritation', sign: 'GHS07' },
	H330: { says: 'fatal if inhaled', sign: 'GHS06' },
	H331: { says: 'toxic if inhaled', sign: 'GHS06' },
	H332: { says: 'harmful if inhaled', sign: 'GHS07' },
	H334: { says: 'may cause allergy or asthma symptoms if inhaled', sign: 'GHS08' },
	H335: { says: 'may cause respiratory irritation', sign: 'GHS07' },
	H336: { says: 'may cause drowsiness or dizziness', sign: 'GHS07' },
	H340: { says: 'may cause genetic defects', sign: 'GHS08' },
	H341: { says: 'suspected of causing genetic defects', sign: 'GHS08' },
	H350: { says: 'may cause cancer', sign: 'GHS08' },
	H351: { says: 'suspected of causing cancer', sign: 'GHS08' },
	H360: { says: 'may damage fertility or the unborn child', sign: 'GHS08' },
	H361: { says: 'suspected of damaging fertility or the unborn child', sign: 'GHS08' },
	H362: { says: 'may cause harm to breast-fed children', sign: null },
	H370: { says: 'causes damage to organs', sign: 'GHS08' },
	H371: { says: 'may cause damage to organs', sign: 'GHS08' },
	H372: { says: 'causes damage to organs through repeated exposure', sign: 'GHS08' },
	H373: { says: 'may cause damage to organs through repeated exposure', sign: 'GHS08' },
	H400: { says: 'very toxic to aquatic life', sign: 'GHS09' },
	H410: { says: 'very toxic to aquatic life with long lasting effects', sign: 'GHS09' },
	H411: { says: 'toxic to aquatic life with long lasting effects', sign: 'GHS09' },
	H412: { says: 'harmful to aquatic life with long lasting effects', sign: null },
	H413: { says: 'may cause long lasting harmful effects to aquatic life', sign: null },
	EUH066: { says: 'repeated exposure may cause skin dryness or cracking', sign: null },
	EUH208: { says: 'contains a sensitiser; may produce an allergic reaction', sign: null },
	EUH210: { says: 'safety data sheet available on request', sign: null },
	EUH380: { says: 'may cause endocrine disruption in humans', sign: null },
	EUH381: { says: 'suspected of causing endocrine disruption in humans', sign: null },
	EUH401: {
		says: 'to avoid risks to human health and the environment, comply with the instructions for use',
		sign: null,
	},
	EUH430: { says: 'may cause endocrine disruption in the environment', sign: null },
	EUH431: { says: 'suspected of causing endocrine disruption in the environment', sign: null },
	EUH440: { says: 'accumulates in the environment and living organisms', sign: null },
	EUH441: { says: 'strongly accumulates in the environment and living organisms', sign: null },
	EUH450: { says: 'can cause long-lasting and diffuse contamination of water resources', sign: null },
	EUH451: { says: 'can cause very long-lasting and diffuse contamination of water resources', sign: null },
};

/** What a code means: `H361d` is read as H361; an unknown code gives null and is to be looked up on the label. */
export function hazardCode(code: string): HazardCode | null {
	const plain = code.replace(/\s+/g, '');
	return hazardCodes[plain] ?? hazardCodes[plain.replace(/[A-Za-z]+$/, '')] ?? null;
}

/** The signs that go with some codes, each once, in the order of their numbers. */
export function signsOf(codes: readonly string[]): HazardSign[] {
	const signs = codes.flatMap((code) => hazardCode(code)?.sign ?? []);
	return [...new Set(signs)].sort();
}
