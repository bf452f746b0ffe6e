import { existsSync } from "node:fs";
import { join } from "node:path";
import express, { type RequestHandler, type Router } from "express";
import { Problem } from "./problem.ts";

/** Paths that are pages: one HTML file answers for all of them, and another for those of the phone. */
const pagePaths = ["/", "/flags", "/run/:id", "/chart/:id", "/bench", "/bench/:id", "/limits"];
const pocketPaths = ["/pocket", "/pocket/flag/:id", "/pocket/set-up"];

/** The built pages. Hashed assets stay with the browser; the HTML is asked for anew, so that a new version shows. */
export function webPages(folder: string): Router {
  const router = express.Router();
  router.use("/assets", express.static(join(folder, "assets"), { immutable: true, maxAge: "365d", index: false }));
  router.use(express.static(folder, { index: false, redirect: false, cacheControl: false, setHeaders: revalidate }));
  router.get(pagePaths, pageAt(join(folder, "index.html")));
  router.get(pocketPaths, pageAt(join(folder, "pocket.html")));
  return router;
}

function pageAt(html: string): RequestHandler {
  return (_request, response) => {
    if (!existsSync(html)) {
      throw new Problem(503, "pages-not-built", "the pages are not built: run `npm run build`, then load this again");
    }
    revalidate(response);
    response.sendFile(html, { cacheControl: false });
  };
}

function revalidate(response: { setHeader(name: string, value: string): void }): void {
  response.setHeader("Cache-Control", "no-cache");
}
