import preact from "@preact/preset-vite";
import { build, defineConfig, type Plugin } from "vite";

/** The pages: sources in dashboard/, built files in dist/web, which the api serves as they are. */
export default defineConfig({
  root: "dashboard",
  base: "/",
  plugins: [preact(), pocketWorker()],
  build: {
    outDir: "../dist/web",
    emptyOutDir: true,
    assetsInlineLimit: 0,
    sourcemap: true,
    rollupOptions: { input: { index: "dashboard/index.html", pocket: "dashboard/pocket.html" } },
  },
});

/** The phone's worker: one file without imports, which every browser takes, under a name that stays. */
function pocketWorker(): Plugin {
  return {
    name: "pocket-worker",
    apply: "build",
    async closeBundle() {
      await build({
        configFile: false,
        root: "dashboard",
        publicDir: false,
        logLevel: "warn",
        build: {
          outDir: "../dist/web",
          emptyOutDir: false,
          sourcemap: true,
          lib: {
            entry: "pocket/worker/worker.ts",
            formats: ["iife"],
            name: "pocket",
            fileName: () => "pocket-worker.js",
          },
        },
      });
    },
  };
}
