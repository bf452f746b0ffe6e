import preact from "@preact/preset-vite";
import { defineConfig } from "vite";

/** The pages: sources in dashboard/, built files in dist/web, which the api serves as they are. */
export default defineConfig({
  root: "dashboard",
  base: "/",
  plugins: [preact()],
  build: { outDir: "../dist/web", emptyOutDir: true, assetsInlineLimit: 0, sourcemap: true },
});
