import protobuf from 'protobufjs';
import { LIKELIEST, likeliest } from './files.ts';

/*
 * The decoder as it is published gives the logits of all tokens; for that it turns and widens its table of tokens, 9 MB,
 * to numbers of 38 MB, at every token it reads. Only the likeliest are ever looked at. So the end of its graph is put
 * in other words: the table is turned once and multiplied as it is, as the model multiplies everywhere else, and the
 * likeliest tokens are looked for where they are.
 */

/** What is there of ONNX in the graph: https://github.com/onnx/onnx/blob/v1.17.0/onnx/onnx.proto3 */
const schema = `
  syntax = "proto3";
  message Model {
    int64 ir_version = 1; string producer_name = 2; string producer_version = 3; Graph graph = 7;
    repeated bytes opset_import = 8;
  }
  message Graph {
    repeated Node node = 1; string name = 2; repeated Tensor initializer = 5; repeated bytes input = 11;
    repeated Value output = 12; repeated bytes value_info = 13;
  }
  message Node {
    repeated string input = 1; repeated string output = 2; string name = 3; string op_type = 4;
    repeated Attribute attribute = 5; string domain = 7;
  }
  message Attribute {
    string name = 1; float f = 2; int64 i = 3; bytes s = 4; Tensor t = 5; Graph g = 6; repeated float floats = 7;
    repeated int64 ints = 8 [packed = false]; int32 type = 20;
  }
  message Tensor {
    repeated int64 dims = 1 [packed = false]; int32 data_type = 2; repeated float float_data = 4;
    repeated int32 int32_data = 5;
    repeated int64 int64_data = 7; string name = 8; bytes raw_data = 9;
    int32 data_location = 14;
  }
  message Value { string name = 1; bytes type = 2; }`;

interface Graph {
  node: Node[];
  initializer: Tensor[];
  output: Value[];
}
interface Node {
  input: string[];
  output: string[];
  opType: string;
  attribute: Partial<Attribute>[];
}
interface Attribute {
  name: string;
  type: number;
  i: number;
  g: Graph | null;
}
interface Tensor {
  name: string;
  dims: number[];
  dataType: number;
  rawData: Uint8Array;
}
interface Value {
  name: string;
  /** TypeProto */
  type: Uint8Array;
}

/** Numbers that ONNX gives to types of numbers, and of attributes. */
const FLOAT = 1;
const INT64 = 7;
const INT = 2;

/** The decoder's file with its likeliest tokens in place of its logits. Throws when it is another graph. */
export function withLikeliest(file: Uint8Array): Uint8Array {
  const format = protobuf.parse(schema).root.resolveAll().lookupType('Model');
  const model = format.decode(file) as protobuf.Message & { graph: Graph };
  if (format.encode(model).finish().length !== file.length)
    throw new Error('the graph of the decoder has parts that are not known');

  const { graph } = model;
  const choice = graph.node.at(-1);
  const branches = (choice?.attribute ?? []).flatMap(({ g }) => (g ? [g] : []));
  if (branches.length === 0) throw new Error('the graph of the decoder has no branches');
  const tables = new Set(branches.map(shorten));
  const [name] = tables;
  const table = graph.initializer.find((tensor) => tensor.name === name);
  if (!table || tables.size > 1) throw new Error('the decoder does not end in one table of tokens');
  graph.initializer.push(turned(table), counted(LIKELIEST));
  choice!.output = replaced(choice!.output, 'logits', [likeliest.logs, likeliest.tokens]);
  graph.output = outputs(graph);
  return format.encode(model).finish();
}

/** Puts the end of one branch in other words. Returns the name of its table of tokens. */
function shorten(branch: Graph): string {
  const from = (output: string) => branch.node.find((node) => node.output[0] === output);
  const product = from('logits');
  const widened = from(product?.input[1] ?? '');
  const turn = from(widened?.input[0] ?? '');
  if (product?.opType !== 'MatMul' || widened?.opType !== 'DequantizeLinear' || turn?.opType !== 'Transpose')
    throw new Error('the logits of the decoder are made in another way');
  const [state] = product.input as [string];
  const [, scale, zero] = widened.input as [string, string, string];
  const [table] = turn.input as [string];
  const node = (opType: string, input: string[], output: string[], attribute: Node['attribute'] = []) => ({
    opType,
    input,
    output,
    attribute,
  });
  branch.node = [
    ...branch.node.filter((each) => each !== product && each !== widened && each !== turn),
    node('DynamicQuantizeLinear', [state], ['end.state', 'end.scale', 'end.zero']),
    node('MatMulInteger', ['end.state', turnedName(table), 'end.zero', zero], ['end.whole']),
    node('Cast', ['end.whole'], ['end.product'], [{ name: 'to', type: INT, i: FLOAT }]),
    node('Mul', ['end.scale', scale], ['end.both']),
    node('Mul', ['end.product', 'end.both'], ['end.logits']),
    node('LogSoftmax', ['end.logits'], ['end.logs'], [{ name: 'axis', type: INT, i: -1 }]),
    node('TopK', ['end.logs', COUNT], [likeliest.logs, likeliest.tokens]),
  ];
  branch.output = outputs(branch);
  return table;
}

const COUNT = 'likeliest.count';
const turnedName = (name: string) => `${name}.turned`;

function counted(count: number): Tensor {
  const rawData = new Uint8Array(BigInt64Array.of(BigInt(count)).buffer);
  return { name: COUNT, dims: [1], dataType: INT64, rawData };
}

function turned({ name, dims, dataType, rawData }: Tensor): Tensor {
  const [rows, columns] = dims.map(Number) as [number, number];
  if (rawData.length !== rows * columns) throw new Error('the table of tokens is not one of bytes');
  const out = new Uint8Array(rawData.length);
  for (let row = 0; row < rows; row++)
    for (let column = 0; column < columns; column++)
      out[column * rows + row] = rawData[row * columns + column]!;
  return { name: turnedName(name), dims: [columns, rows], dataType, rawData: out };
}

/** TypeProto of a tensor of these numbers, of any shape: { tensor_type = 1: { elem_type = 1 } } */
const typeOf = (numbers: number) => Uint8Array.of(0x0a, 2, 0x08, numbers);

const outputs = ({ output }: Graph): Value[] => {
  const at = output.findIndex(({ name }) => name === 'logits');
  return output.toSpliced(
    at,
    1,
    { name: likeliest.logs, type: typeOf(FLOAT) },
    { name: likeliest.tokens, type: typeOf(INT64) },
  );
};

const replaced = (list: readonly string[], old: string, by: readonly string[]) =>
  list.flatMap((each) => (each === old ? by : [each]));
