import { createCipheriv, createECDH, createHmac, randomBytes } from "node:crypto";

/** Where a subscription's messages are encrypted to; both are base64url, as browsers give them. */
export interface SubscriptionKeys {
  /** Uncompressed P-256 point, 65 bytes. */
  readonly p256dh: string;
  /** 16 random bytes. */
  readonly auth: string;
}

/** For the published vectors only: a message must have its own key and salt. */
export interface FixedKeys {
  readonly salt: Buffer;
  readonly privateKey: Buffer;
}

const CURVE = "prime256v1";
const RECORD_SIZE = 4096;
const TAG_BYTES = 16;
const HEADER_BYTES = 86;
/** Ends the plaintext of the last record; zeros after it are padding. */
const LAST_RECORD = 2;
/** RFC 8291 section 4: what one record takes, its header, delimiter and tag off. */
export const MOST_PLAINTEXT = RECORD_SIZE - HEADER_BYTES - TAG_BYTES - 1;

/**
 * Body of a push message: one aes128gcm record (RFC 8291, RFC 8188), padded to `padTo` bytes of plaintext so that its
 * length tells the push service nothing. A RangeError says that keys or message are not what they should be.
 */
export function encryptPush(plaintext: Buffer, keys: SubscriptionKeys, padTo: number, fixed?: FixedKeys): Buffer {
  if (plaintext.length > MOST_PLAINTEXT) {
    throw new RangeError(`a push message takes ${MOST_PLAINTEXT} bytes, got ${plaintext.length}`);
  }
  const receiver = Buffer.from(keys.p256dh, "base64url");
  const auth = Buffer.from(keys.auth, "base64url");
  if (receiver.length !== 65 || receiver[0] !== 4 || auth.length !== 16) {
    throw new RangeError("a subscription needs a point of 65 bytes and 16 bytes of secret");
  }
  const own = createECDH(CURVE);
  if (fixed === undefined) own.generateKeys();
  else own.setPrivateKey(fixed.privateKey);
  const sender = own.getPublicKey();
  const salt = fixed?.salt ?? randomBytes(16);
  const { key, nonce } = contentKey(secretOf(own, receiver), auth, receiver, sender, salt);

  const padding = Math.max(Math.min(padTo, MOST_PLAINTEXT) - plaintext.length, 0);
  const cipher = createCipheriv("aes-128-gcm", key, nonce);
  const record = [
    cipher.update(plaintext),
    cipher.update(Buffer.concat([Buffer.from([LAST_RECORD]), Buffer.alloc(padding)])),
    cipher.final(),
    cipher.getAuthTag(),
  ];
  const size = Buffer.alloc(4);
  size.writeUInt32BE(RECORD_SIZE);
  return Buffer.concat([salt, size, Buffer.from([sender.length]), sender, ...record]);
}

function secretOf(own: ReturnType<typeof createECDH>, receiver: Buffer): Buffer {
  try {
    return own.computeSecret(receiver);
  } catch (cause) {
    throw new RangeError("a subscription's key is no point of the curve", { cause });
  }
}

/** RFC 8291 section 3.4, then RFC 8188 section 2.2 and 2.3. */
export function contentKey(
  secret: Buffer,
  auth: Buffer,
  receiver: Buffer,
  sender: Buffer,
  salt: Buffer,
): { readonly key: Buffer; readonly nonce: Buffer } {
  const info = Buffer.concat([Buffer.from("WebPush: info\0"), receiver, sender]);
  const material = expand(hmac(auth, secret), info, 32);
  const extracted = hmac(salt, material);
  return {
    key: expand(extracted, Buffer.from("Content-Encoding: aes128gcm\0"), 16),
    nonce: expand(extracted, Buffer.from("Content-Encoding: nonce\0"), 12),
  };
}

/** HKDF-Expand (RFC 5869) of at most one block. */
function expand(key: Buffer, info: Buffer, length: number): Buffer {
  return hmac(key, Buffer.concat([info, Buffer.from([1])])).subarray(0, length);
}

function hmac(key: Buffer, data: Buffer): Buffer {
  return createHmac("sha256", key).update(data).digest();
}
