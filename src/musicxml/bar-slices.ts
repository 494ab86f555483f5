/** The inside of one `<measure>` of one part, as byte offsets into the document. */
export interface BarSlice {
  /** The `number` attribute: the printed number, which need not be a number. */
  readonly label: string;
  readonly start: number;
  readonly end: number;
}

/** The bars of a part by their place, counted from 0. */
export interface BarSlices {
  readonly length: number;
  /** Undefined where the part has no such bar. */
  readonly bar: (barIndex: number) => BarSlice | undefined;
  /** Empty where the part has no such bar. */
  readonly label: (barIndex: number) => string;
  readonly toArray: () => readonly BarSlice[];
}

/**
 * Bars as they are found. A score has ten thousand of them and few are looked at, so they are kept as plain
 * numbers: an object for each was half of all that outlived the reading, and was moved about with it.
 */
export class BarSliceList implements BarSlices {
  private readonly labels: string[] = [];
  /** Start and end of each bar in turn. */
  private readonly offsets: number[] = [];

  get length(): number {
    return this.labels.length;
  }

  /** @param model a part that has the same bars, as a rule: of labels that are the same one is kept */
  add({ label, start, end }: BarSlice, model?: BarSliceList): void {
    const known = model?.labels[this.length];
    this.labels.push(known === label ? known : label);
    this.offsets.push(start, end);
  }

  bar(barIndex: number): BarSlice | undefined {
    const label = this.labels[barIndex];
    const start = this.offsets[2 * barIndex];
    const end = this.offsets[2 * barIndex + 1];
    return label === undefined || start === undefined || end === undefined
      ? undefined
      : { label, start, end };
  }

  label(barIndex: number): string {
    return this.labels[barIndex] ?? "";
  }

  toArray(): readonly BarSlice[] {
    return this.labels.flatMap((_, barIndex) => this.bar(barIndex) ?? []);
  }
}
