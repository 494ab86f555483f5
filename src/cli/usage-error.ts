/** A wrong use of the command: one line for the user, exit code 2. */
export class UsageError extends Error {
  override readonly name = "UsageError";
}
