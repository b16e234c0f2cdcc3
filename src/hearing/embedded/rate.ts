/** Of all sound that is read, Hz. */
export const SAMPLE_RATE = 16_000;
