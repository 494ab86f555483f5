/** Exit codes of the command. */
export const EXIT = {
  clean: 0,
  /** Findings at or above `--fail-on`. */
  findings: 1,
  /** Input that cannot be read, or a wrong use of the command. */
  badInput: 2,
  /** A fault of the program. */
  bug: 70,
  /** Ctrl-C: 128 and the number of the signal, as shells have it. */
  stopped: 130,
} as const;
export type ExitCode = (typeof EXIT)[keyof typeof EXIT];
