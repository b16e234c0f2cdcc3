/**
 * The name of a recording: SHA-256 of its language and its sentence, word for word, as 64 hex digits. A text that was
 * changed has another name, so a recording of the old one is not found for it.
 */
export async function clipKey(language: string, text: string): Promise<string> {
  const bytes = new TextEncoder().encode(`${language}\n${text}`);
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  return [...hash].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
