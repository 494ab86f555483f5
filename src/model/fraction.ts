import type FractionClass from "fraction.js";

/** An exact rational number; every position and length in quarters is one. */
export type Fraction = FractionClass;
