/**
 * A number that knows its unit. Plain numbers may become a quantity, and arithmetic gives plain numbers again, so a
 * formula reads as in the handbook; but a quantity of one unit is never accepted where another is asked for.
 */
export type Quantity<Unit extends string> = number & { readonly unit?: Unit };

export type Hectares = Quantity<'ha'>;
export type SquareMetres = Quantity<'m2'>;
export type Metres = Quantity<'m'>;
export type Litres = Quantity<'L'>;
export type Kilograms = Quantity<'kg'>;
export type LitresPerHectare = Quantity<'L/ha'>;
/** L or kg, by the product's own unit. */
export type ProductAmount = Quantity<'product'>;
/** L/ha or kg/ha, by the product's own unit. */
export type Dose = Quantity<'product/ha'>;
/** Whole microlitres or milligrams: how product amounts are kept. */
export type StockAmount = Quantity<'uL|mg'>;
export type Seconds = Quantity<'s'>;
export type LitresPerMinute = Quantity<'L/min'>;
/** UTC milliseconds. */
export type Instant = Quantity<'ms'>;
