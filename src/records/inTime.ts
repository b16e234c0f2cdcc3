/** As the promise, or rejects with what did not answer after so many ms. */
export async function inTime<T>(promise: Promise<T>, ms: number, what: string): Promise<T> {
  let timer: ReturnType<typeof setTimeout>;
  const late = new Promise<never>((_, failed) => {
    timer = setTimeout(() => failed(new Error(`${what} did not answer`)), ms);
  });
  return Promise.race([promise, late]).finally(() => clearTimeout(timer));
}
