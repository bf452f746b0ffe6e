/**
 * Loaded ahead of a program that the demo starts: when the demo is gone, however it went, the program is asked to end.
 * The demo may be gone before this is loaded. The channel must not keep a program alive that has done its work.
 */
const end = (): boolean => process.kill(process.pid, "SIGTERM");
process.once("disconnect", end);
process.channel?.unref();
if (!process.connected) end();
