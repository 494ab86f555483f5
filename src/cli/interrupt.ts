/** The wish to end early, as a signal. */
export interface Interrupt {
  readonly signal: AbortSignal;
  /** Gives the keys back to the system. */
  readonly release: () => void;
}

/**
 * Ctrl-C (or a polite request to end) asks the run to stop and to keep what is done. A second one ends
 * the program at once, as without us.
 */
export function abortOnInterrupt(): Interrupt {
  const controller = new AbortController();
  const release = (): void => {
    process.off("SIGINT", stop);
    process.off("SIGTERM", stop);
  };
  const stop = (): void => {
    release();
    controller.abort();
  };
  process.on("SIGINT", stop);
  process.on("SIGTERM", stop);
  return { signal: controller.signal, release };
}
