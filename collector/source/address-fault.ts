import { Fault } from "../platform/fault.ts";

/** Says why an address cannot be listened on; `setting` names where it is set. */
export function addressFault(error: unknown, host: string, port: number, setting: string): unknown {
  const code = (error as NodeJS.ErrnoException).code;
  const options = { retryable: false, cause: error };
  if (code === "EADDRINUSE") {
    return new Fault(
      "port-in-use",
      `${host}:${port} is taken by another program: give another port in ${setting}`,
      options,
    );
  }
  if (code === "EACCES" || code === "EADDRNOTAVAIL" || code === "ENOTFOUND") {
    return new Fault("address-unusable", `${host}:${port} cannot be listened on (${code}): see ${setting}`, options);
  }
  return error;
}
