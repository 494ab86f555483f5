// Loaded before the command by the benchmark: says at the end how much memory the run took at most.
process.on("exit", () => {
  process.stderr.write(`peak memory ${process.resourceUsage().maxRSS} kB\n`);
});
