import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Model } from './models.ts';
import { packageFolder } from './package-folder.ts';
import { modelFiles } from './transformer/files.ts';
import { withLikeliest } from './transformer/graph.ts';

/** The folder of a model in the package it comes from. For Node. */
export const modelFolder = ({ from }: Model): string => join(packageFolder(from.package), from.path);

/** A file of a model as its reader wants it. Rejects when it is not there. For Node. */
export async function modelFile(model: Model, name: string): Promise<Uint8Array> {
  const bytes = await readFile(join(modelFolder(model), name));
  return model.reader === 'transformer' && name === modelFiles.decoder ? withLikeliest(bytes) : bytes;
}
