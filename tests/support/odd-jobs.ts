import { setTimeout as sleep } from "node:timers/promises";

/** Jobs that behave well and badly, for the tests of the pool. */
export const ODD_JOBS = {
  /** Back after so many milliseconds, with what it was given. */
  wait: async ({ n, ms }: { n: number; ms: number }) => {
    await sleep(ms);
    return { n };
  },
  /** Keeps its thread busy, as an analysis does. */
  spin: ({ n, ms }: { n: number; ms: number }) => {
    const end = Date.now() + ms;
    while (Date.now() < end);
    return Promise.resolve({ n });
  },
  /** Goes wrong in the way that is asked for. */
  fail: ({ how }: { how: string }): Promise<unknown> => {
    switch (how) {
      case "throw":
        throw new TypeError("no such clarinet");
      case "reject":
        return Promise.reject(new RangeError("bar 0"));
      case "text":
        // eslint-disable-next-line @typescript-eslint/only-throw-error -- anything can be thrown
        throw "not even an error";
      case "deep":
        return ODD_JOBS.fail({ how });
      case "circular": {
        const loop: { self?: unknown } = {};
        loop.self = loop;
        return Promise.resolve(loop);
      }
      case "exit":
        process.exit(3);
        break;
      case "memory": {
        const kept: number[][] = [];
        for (;;) kept.push(Array.from({ length: 1e6 }, (_, k) => k + Math.random()));
      }
    }
    return Promise.resolve({ how });
  },
  /** What JSON does to a value is the same with and without workers. */
  odd: (given: object): Promise<unknown> =>
    Promise.resolve({ ...given, gone: undefined, nan: Number.NaN, date: new Date(0), zero: -0 }),
};
