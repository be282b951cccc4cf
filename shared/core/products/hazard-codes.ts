import type { HazardSign } from './hazard-signs.ts';

export type HazardCode = { readonly code: string; readonly says: string; readonly signs: readonly HazardSign[] };

/** A code, what it says, and the signs of its class. */
type Row = readonly [code: string, says: string, ...signs: HazardSign[]];

/**
 * Hazard statements, worded as in Regulation (EC) No 1272/2008, annex III (routes and organs, which the label adds, left
 * out), with the signs of the label elements in annex I. One code may stand for a class without a sign and one with it
 * (H221: flammable gas 1B and 2): then the sign is shown. The label and the data sheet come first.
 */
const clp: readonly Row[] = [
	['H200', 'unstable explosive', 'GHS01'],
	['H201', 'explosive; mass explosion hazard', 'GHS01'],
	['H202', 'explosive, severe projection hazard', 'GHS01'],
	['H203', 'explosive; fire, blast or projection hazard', 'GHS01'],
	['H204', 'fire or projection hazard', 'GHS01'],
	['H205', 'may mass explode in fire'],
	['H206', 'fire, blast or projection hazard; increased risk of explosion if desensitising agent is reduced', 'GHS02'],
	['H207', 'fire or projection hazard; increased risk of explosion if desensitising agent is reduced', 'GHS02'],
	['H208', 'fire hazard; increased risk of explosion if desensitising agent is reduced', 'GHS02'],
	['H220', 'extremely flammable gas', 'GHS02'],
	['H221', 'flammable gas', 'GHS02'],
	['H222', 'extremely flammable aerosol', 'GHS02'],
	['H223', 'flammable aerosol', 'GHS02'],
	['H224', 'extremely flammable liquid and vapour', 'GHS02'],
	['H225', 'highly flammable liquid and vapour', 'GHS02'],
	['H226', 'flammable liquid and vapour', 'GHS02'],
	['H228', 'flammable solid', 'GHS02'],
	['H229', 'pressurised container: may burst if heated'],
	['H230', 'may react explosively even in the absence of air', 'GHS02'],
	['H231', 'may react explosively even in the absence of air at elevated pressure and/or temperature', 'GHS02'],
	['H232', 'may ignite spontaneously if exposed to air', 'GHS02'],
	['H240', 'heating may cause an explosion', 'GHS01'],
	['H241', 'heating may cause a fire or explosion', 'GHS01', 'GHS02'],
	['H242', 'heating may cause a fire', 'GHS02'],
	['H250', 'catches fire spontaneously if exposed to air', 'GHS02'],
	['H251', 'self-heating: may catch fire', 'GHS02'],
	['H252', 'self-heating in large quantities; may catch fire', 'GHS02'],
	['H260', 'in contact with water releases flammable gases which may ignite spontaneously', 'GHS02'],
	['H261', 'in contact with water releases flammable gases', 'GHS02'],
	['H270', 'may cause or intensify fire; oxidiser', 'GHS03'],
	['H271', 'may cause fire or explosion; strong oxidiser', 'GHS03'],
	['H272', 'may intensify fire; oxidiser', 'GHS03'],
	['H280', 'contains gas under pressure; may explode if heated', 'GHS04'],
	['H281', 'contains refrigerated gas; may cause cryogenic burns or injury', 'GHS04'],
	['H290', 'may be corrosive to metals', 'GHS05'],
	['H300', 'fatal if swallowed', 'GHS06'],
	['H301', 'toxic if swallowed', 'GHS06'],
	['H302', 'harmful if swallowed', 'GHS07'],
	['H304', 'may be fatal if swallowed and enters airways', 'GHS08'],
	['H310', 'fatal in contact with skin', 'GHS06'],
	['H311', 'toxic in contact with skin', 'GHS06'],
	['H312', 'harmful in contact with skin', 'GHS07'],
	['H314', 'causes severe skin burns and eye damage', 'GHS05'],
	['H315', 'causes skin irritation', 'GHS07'],
	['H317', 'may cause an allergic skin reaction', 'GHS07'],
	['H318', 'causes serious eye damage', 'GHS05'],
	['H319', 'causes serious eye irritation', 'GHS07'],
	['H330', 'fatal if inhaled', 'GHS06'],
	['H331', 'toxic if inhaled', 'GHS06'],
	['H332', 'harmful if inhaled', 'GHS07'],
	['H334', 'may cause allergy or asthma symptoms or breathing difficulties if inhaled', 'GHS08'],
	['H335', 'may cause respiratory irritation', 'GHS07'],
	['H336', 'may cause drowsiness or dizziness', 'GHS07'],
	['H340', 'may cause genetic defects', 'GHS08'],
	['H341', 'suspected of causing genetic defects', 'GHS08'],
	['H350', 'may cause cancer', 'GHS08'],
	['H350i', 'may cause cancer by inhalation', 'GHS08'],
	['H351', 'suspected of causing cancer', 'GHS08'],
	['H360', 'may damage fertility or the unborn child', 'GHS08'],
	['H360F', 'may damage fertility', 'GHS08'],
	['H360D', 'may damage the unborn child', 'GHS08'],
	['H360FD', 'may damage fertility; may damage the unborn child', 'GHS08'],
	['H360Fd', 'may damage fertility; suspected of damaging the unborn child', 'GHS08'],
	['H360Df', 'may damage the unborn child; suspected of damaging fertility', 'GHS08'],
	['H361', 'suspected of damaging fertility or the unborn child', 'GHS08'],
	['H361f', 'suspected of damaging fertility', 'GHS08'],
	['H361d', 'suspected of damaging the unborn child', 'GHS08'],
	['H361fd', 'suspected of damaging fertility; suspected of damaging the unborn child', 'GHS08'],
	['H362', 'may cause harm to breast-fed children'],
	['H370', 'causes damage to organs', 'GHS08'],
	['H371', 'may cause damage to organs', 'GHS08'],
	['H372', 'causes damage to organs through prolonged or repeated exposure', 'GHS08'],
	['H373', 'may cause damage to organs through prolonged or repeated exposure', 'GHS08'],
	['H400', 'very toxic to aquatic life', 'GHS09'],
	['H410', 'very toxic to aquatic life with long lasting effects', 'GHS09'],
	['H411', 'toxic to aquatic life with long lasting effects', 'GHS09'],
	['H412', 'harmful to aquatic life with long lasting effects'],
	['H413', 'may cause long lasting harmful effects to aquatic life'],
	['H420', 'harms public health and the environment by destroying ozone in the upper atmosphere', 'GHS07'],
	['EUH001', 'explosive when dry'],
	['EUH014', 'reacts violently with water'],
	['EUH018', 'in use may form flammable/explosive vapour-air mixture'],
	['EUH019', 'may form explosive peroxides'],
	['EUH029', 'contact with water liberates toxic gas'],
	['EUH031', 'contact with acids liberates toxic gas'],
	['EUH032', 'contact with acids liberates very toxic gas'],
	['EUH044', 'risk of explosion if heated under confinement'],
	['EUH066', 'repeated exposure may cause skin dryness or cracking'],
	['EUH070', 'toxic by eye contact'],
	['EUH071', 'corrosive to the respiratory tract'],
	['EUH208', 'contains a sensitising substance; may produce an allergic reaction'],
	['EUH210', 'safety data sheet available on request'],
	['EUH401', 'to avoid risks to human health and the environment, comply with the instructions for use'],
];

/** Newer classes, Delegated Regulation (EU) 2023/707; wording from memory. They have no sign. */
const newer: readonly Row[] = [
	['EUH380', 'may cause endocrine disruption in humans'],
	['EUH381', 'suspected of causing endocrine disruption in humans'],
	['EUH430', 'may cause endocrine disruption in the environment'],
	['EUH431', 'suspected of causing endocrine disruption in the environment'],
	['EUH440', 'accumulates in the environment and living organisms including in humans'],
	['EUH441', 'strongly accumulates in the environment and living organisms including in humans'],
	['EUH450', 'can cause long-lasting and diffuse contamination of water resources'],
	['EUH451', 'can cause very long-lasting and diffuse contamination of water resources'],
];

/** On labels outside the European Union, UN GHS annex 3; from memory. */
const elsewhere: readonly Row[] = [
	['H227', 'combustible liquid'],
	['H303', 'may be harmful if swallowed'],
	['H305', 'may be harmful if swallowed and enters airways', 'GHS08'],
	['H313', 'may be harmful in contact with skin'],
	['H316', 'causes mild skin irritation'],
	['H320', 'causes eye irritation', 'GHS07'],
	['H333', 'may be harmful if inhaled'],
	['H401', 'toxic to aquatic life'],
	['H402', 'harmful to aquatic life'],
];

export const hazardCodes: ReadonlyMap<string, HazardCode> = new Map(
	[...clp, ...newer, ...elsewhere].map(([code, says, ...signs]) => [code, { code, says, signs }]),
);

/** A code as it is written: no blanks, H and EUH in capitals. The letters behind it stay: H360Fd and H360FD say different things. */
export function plainCode(code: string): string {
	return code.replace(/\s+/g, '').replace(/\b(euh|h)(?=\d)/gi, (letters) => letters.toUpperCase());
}

/** What a code means; an unknown code gives null and is to be looked up on the label. */
export function hazardCode(code: string): HazardCode | null {
	const plain = plainCode(code);
	return hazardCodes.get(plain) ?? hazardCodes.get(plain.replace(/[A-Za-z]+$/, '')) ?? null;
}

/** What a code says in words, also of several joined by `+`; null where one of them is not known. */
export function hazardSays(code: string): string | null {
	const said = partsOf(code).map((part) => hazardCode(part)?.says);
	return said.every((words) => words !== undefined) ? said.join('; ') : null;
}

/** `H301 + H311` names two statements at once. */
export function partsOf(code: string): string[] {
	return plainCode(code)
		.split('+')
		.map((part, index) => (index > 0 && /^\d/.test(part) ? `H${part}` : part));
}
