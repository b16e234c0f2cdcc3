/** Every browser this runs in has it; the package asks for a polyfill that reaches for `window`. */
export const Blob = globalThis.Blob;
