const FILTERS = 20;
const COEFFICIENTS = 13;
const LIFTER = 22;

/** cosines[i][j]: orthonormal DCT-II of the log mel bands, liftered, as feat_params.json of the model asks. */
const cosines = Array.from({ length: COEFFICIENTS }, (_, i) =>
  Array.from(
    { length: FILTERS },
    (_, j) =>
      Math.cos((Math.PI * i * (j + 0.5)) / FILTERS) *
      Math.sqrt((i === 0 ? 1 : 2) / FILTERS) *
      (1 + (LIFTER / 2) * Math.sin((i * Math.PI) / LIFTER)),
  ),
);

/**
 * Mean cepstrum of some frames of log mel bands: what the recogniser takes off every frame so that voice and
 * microphone matter less. Bands as the decoder's spectrogram gives them, frame after frame.
 */
export function meanCepstrum(bands: Float32Array, perFrame: number): number[] {
  if (perFrame !== FILTERS) throw new Error(`the model has ${FILTERS} bands, not ${perFrame}`);
  const frames = Math.floor(bands.length / perFrame);
  return cosines.map((row) => {
    let sum = 0;
    for (let at = 0; at < frames * perFrame; at++) sum += bands[at]! * row[at % perFrame]!;
    return frames > 0 ? sum / frames : 0;
  });
}
