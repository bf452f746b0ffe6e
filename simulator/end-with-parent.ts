/**
 * Loaded ahead of a program that the demo starts: when the demo is gone, however it went, the program is asked to end.
 * The channel must not keep a program alive that has done its work.
 */
process.once("disconnect", () => process.kill(process.pid, "SIGTERM"));
process.channel?.unref();
