import { existsSync } from "node:fs";
import { join } from "node:path";
import express, { type Router } from "express";
import { Problem } from "./problem.ts";

/** Paths that are pages: the one HTML file answers for all of them. */
const pagePaths = ["/", "/flags", "/run/:id", "/chart/:id", "/bench", "/bench/:id", "/limits"];

/** The built pages. Hashed assets stay with the browser; the HTML is asked for anew, so that a new version shows. */
export function webPages(folder: string): Router {
  const router = express.Router();
  const html = join(folder, "index.html");
  router.use("/assets", express.static(join(folder, "assets"), { immutable: true, maxAge: "365d", index: false }));
  router.use(express.static(folder, { index: false, redirect: false, cacheControl: false, setHeaders: revalidate }));
  router.get(pagePaths, (_request, response) => {
    if (!existsSync(html)) {
      throw new Problem(503, "pages-not-built", "the pages are not built: run `npm run build`, then load this again");
    }
    revalidate(response);
    response.sendFile(html, { cacheControl: false });
  });
  return router;
}

function revalidate(response: { setHeader(name: string, value: string): void }): void {
  response.setHeader("Cache-Control", "no-cache");
}
