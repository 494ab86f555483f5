/**
 * What is worked out once for an object that does not change, kept with the object: what goes away with it.
 * A WeakMap would do the same, but what hangs on one outlives the quick collections of the engine, and all
 * that is read of a score hung on some. Copies of the object do not have it.
 */
export class KeptWith<Owner extends object, Value extends object> {
  private readonly key = Symbol("kept");

  of(owner: Owner, make: (owner: Owner) => Value): Value {
    const known = (owner as Readonly<Record<symbol, Value | undefined>>)[this.key];
    if (known) return known;
    const value = make(owner);
    Object.defineProperty(owner, this.key, { value });
    return value;
  }
}
