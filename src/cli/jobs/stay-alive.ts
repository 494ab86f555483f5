/**
 * Turns leaving the worker into an error of the job. The pool learns of a worker that fails, but not of
 * one that leaves without an error, and would wait for its result for ever.
 */
export function stayAlive(): void {
  process.exit = (code) => {
    throw new Error(`the job asked to leave the program (exit code ${String(code ?? 0)})`);
  };
}
