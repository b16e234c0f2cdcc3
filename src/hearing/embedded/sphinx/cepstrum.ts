const COEFFICIENTS = 13;
const LIFTER = 22;

/** [i][j]: orthonormal DCT-II of `bands` log mel bands, liftered, as feat_params.json of the models asks. */
const cosines = (bands: number): number[][] =>
  Array.from({ length: COEFFICIENTS }, (_, i) =>
    Array.from(
      { length: bands },
      (_, j) =>
        Math.cos((Math.PI * i * (j + 0.5)) / bands) *
        Math.sqrt((i === 0 ? 1 : 2) / bands) *
        (1 + (LIFTER / 2) * Math.sin((i * Math.PI) / LIFTER)),
    ),
  );

/**
 * Mean cepstrum of some frames of log mel bands: what the recogniser takes off every frame so that voice and
 * microphone matter less. Bands as the decoder's spectrogram gives them, frame after frame.
 */
export function meanCepstrum(bands: Float32Array, perFrame: number): number[] {
  if (perFrame < COEFFICIENTS)
    throw new Error(`${perFrame} bands are too few for ${COEFFICIENTS} coefficients`);
  const frames = Math.floor(bands.length / perFrame);
  return cosines(perFrame).map((row) => {
    let sum = 0;
    for (let at = 0; at < frames * perFrame; at++) sum += bands[at]! * row[at % perFrame]!;
    return frames > 0 ? sum / frames : 0;
  });
}
