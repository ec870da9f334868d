/** The SHA-256 of bytes or of a text's UTF-8, as 64 hex digits. */
export async function sha256(content: Uint8Array<ArrayBuffer> | string): Promise<string> {
  const bytes = typeof content === "string" ? new TextEncoder().encode(content) : content;
  const digest = await crypto.subtle.digest("SHA-256", bytes);
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join("");
}
