import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { requireCommand } from "../../system/find-command.ts";
import { temporaryFolder } from "../../temporary-folder.ts";

/** An authority made for one test, and a certificate for `localhost` that it vouches for. */
export interface ThrowAwayAuthority {
  /** File of the authority's certificate: for `NODE_EXTRA_CA_CERTS`. */
  readonly file: string;
  readonly authority: string;
  readonly certFile: string;
  readonly keyFile: string;
  readonly cert: string;
  readonly key: string;
  /** A certificate for a client of that name. */
  client(name: string): { readonly certFile: string; readonly keyFile: string };
  remove(): void;
}

export function throwAwayAuthority(): ThrowAwayAuthority {
  const folder = temporaryFolder();
  const at = (name: string): string => join(folder.path, name);
  const openssl = (...words: string[]): void => void execFileSync(requireCommand("openssl"), words, { stdio: "pipe" });
  const key = ["-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes"];
  openssl(
    ...["req", "-x509", ...key, "-days", "2", "-subj", "/CN=Throw-away authority"],
    ...["-keyout", at("ca.key"), "-out", at("ca.pem")],
  );
  openssl("req", ...key, "-subj", "/CN=localhost", "-keyout", at("key.pem"), "-out", at("cert.csr"));
  writeFileSync(at("names"), "subjectAltName=DNS:localhost,IP:127.0.0.1\n");
  openssl(
    ...["x509", "-req", "-in", at("cert.csr"), "-CA", at("ca.pem"), "-CAkey", at("ca.key"), "-CAcreateserial"],
    ...["-days", "2", "-extfile", at("names"), "-out", at("cert.pem")],
  );
  const client = (name: string): { readonly certFile: string; readonly keyFile: string } => {
    openssl("req", ...key, "-subj", `/CN=${name}`, "-keyout", at(`${name}.key`), "-out", at(`${name}.csr`));
    const by = ["-CA", at("ca.pem"), "-CAkey", at("ca.key"), "-CAcreateserial"];
    openssl("x509", "-req", "-in", at(`${name}.csr`), ...by, "-days", "2", "-out", at(`${name}.pem`));
    return { certFile: at(`${name}.pem`), keyFile: at(`${name}.key`) };
  };
  const text = (name: string): string => readFileSync(at(name), "utf8");
  return {
    file: at("ca.pem"),
    authority: text("ca.pem"),
    certFile: at("cert.pem"),
    keyFile: at("key.pem"),
    cert: text("cert.pem"),
    key: text("key.pem"),
    client,
    remove: folder.remove,
  };
}
