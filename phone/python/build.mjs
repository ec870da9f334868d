// Makes what a phone's Python is started from, into build/phone-python: Pyodide's core files as they are, a list of
// packages with none in it, the standard library and the bench as bytecode (pack.py), and the notices, each file
// compressed as the server hands it out. `plugin.mjs` puts them into the app, with a list of all and their hashes.
//
// What has not changed is not made again: the bench changes with every commit, all else with Pyodide's version alone.
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";
import { brotliCompress, constants, gzip } from "node:zlib";

const here = dirname(fileURLToPath(import.meta.url));
const root = join(here, "..", "..");
const sources = join(root, "src");
const made = join(root, "build", "phone-python");
const pyodide = dirname(createRequire(import.meta.url).resolve("pyodide/package.json"));

const CORE = ["pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm"];
const NOTICES = ["NOTICE.txt", "LICENSE-MPL-2.0.txt", "LICENSE-Python.txt"];
const PACKERS = ["pack.py", "sitecustomize.py", "bench_start.py"];
const LOCK = "pyodide-lock.json";
const FIRST = "first.zip";
const LIBRARY = "library.bin";
const BENCH = "bench.bin";

// Slow and once: 28 seconds for the largest file, which changes with Pyodide's version alone.
const PRESSED = { quality: 11, window: 24, level: 9 };

const sha256 = (...parts) => parts.reduce((hash, part) => hash.update(part), createHash("sha256")).digest("hex");

/** The bench's files as they are installed, by their path below src. */
function benchFiles() {
  const found = [join(sources, "coldmark", "__init__.py")];
  for (const one of readdirSync(join(sources, "coldmark", "bench"), { recursive: true, withFileTypes: true })) {
    const path = join(one.parentPath ?? one.path, one.name);
    // A __main__ is a command of the desk's, not of the phone's.
    if (one.isFile() && !path.includes("__pycache__") && one.name !== "__main__.py") found.push(path);
  }
  return new Map(found.map((path) => [relative(sources, path), readFileSync(path)]).sort(([a], [b]) => (a < b ? -1 : 1)));
}

/** Pyodide under Node, as it comes, with pack.py read, and what its start has imported. */
export async function packing() {
  const { loadPyodide } = await import(join(pyodide, "pyodide.mjs"));
  const python = await loadPyodide({ indexURL: pyodide, lockFileContents: emptyLock(), env: { PYTHONHASHSEED: "0" } });
  const started = python.runPython("import sys; sorted(sys.modules)").toJs();
  python.FS.mkdirTree("/packing");
  for (const name of PACKERS) python.FS.writeFile(`/packing/${name}`, readFileSync(join(here, name)));
  python.runPython("sys.path.insert(0, '/packing')");
  return { python, pack: python.pyimport("pack"), started };
}

/** Pyodide asks for a list of the packages that it could fetch; it is told of none, so it has nowhere to fetch from. */
function emptyLock() {
  const { info } = JSON.parse(readFileSync(join(pyodide, LOCK), "utf8"));
  return { info, packages: {} };
}

async function makeBench(files) {
  const { python, pack } = await packing();
  for (const [name, bytes] of files) {
    const path = `/packing/src/${name}`;
    python.FS.mkdirTree(dirname(path));
    python.FS.writeFile(path, bytes);
  }
  const [made, imports] = pack.bench("/packing/src").toJs();
  await put(BENCH, made);
  return imports;
}

async function makeLibrary(imports) {
  const { python, pack, started } = await packing();
  const whole = `/lib/python${python.runPython("f'{sys.version_info[0]}{sys.version_info[1]}'")}.zip`;
  const [first, rest] = pack.library(whole, [...started, ...imports]).toJs();
  await Promise.all([put(FIRST, first), put(LIBRARY, rest)]);
  return null;
}

/** Write a file and, beside it, the compressed ones that the server hands to whoever takes them. */
async function put(name, bytes) {
  const stamp = join(made, `${name}.stamp`);
  const now = sha256(JSON.stringify(PRESSED), bytes);
  if (existsSync(stamp) && readFileSync(stamp, "utf8") === now) return;
  const { BROTLI_PARAM_QUALITY, BROTLI_PARAM_LGWIN, BROTLI_PARAM_SIZE_HINT } = constants;
  const { quality, window, level } = PRESSED;
  const params = { [BROTLI_PARAM_QUALITY]: quality, [BROTLI_PARAM_LGWIN]: window, [BROTLI_PARAM_SIZE_HINT]: bytes.length };
  const [br, gz] = await Promise.all([promisify(brotliCompress)(bytes, { params }), promisify(gzip)(bytes, { level })]);
  rmSync(stamp, { force: true });
  for (const [ending, content] of [["", bytes], [".br", br], [".gz", gz]]) whole(join(made, name + ending), content);
  whole(stamp, now);
}

/** Write a file whole or not at all, since two builds may be at it. */
function whole(path, content) {
  const fresh = `${path}.${process.pid}`;
  writeFileSync(fresh, content);
  renameSync(fresh, path);
}

/** What making a file told, from the last time if it was made from the same. */
async function once(name, key, make) {
  const path = join(made, `${name}.made`);
  if (existsSync(path)) {
    const last = JSON.parse(readFileSync(path, "utf8"));
    if (last.key === key) return last.told;
    rmSync(path);
  }
  const told = await make();
  whole(path, JSON.stringify({ key, told }));
  return told;
}

export async function build() {
  mkdirSync(made, { recursive: true });
  const { version } = JSON.parse(readFileSync(join(pyodide, "package.json"), "utf8"));
  const packer = sha256(version, ...["build.mjs", ...PACKERS].map((name) => readFileSync(join(here, name))));
  const files = benchFiles();
  const code = sha256(...[...files].flatMap(([name, bytes]) => [name, "\0", sha256(bytes), "\n"]));
  const rest = Promise.all([
    ...CORE.map((name) => put(name, readFileSync(join(pyodide, name)))),
    ...NOTICES.map((name) => put(name, readFileSync(join(here, name)))),
    put(LOCK, Buffer.from(JSON.stringify(emptyLock()))),
  ]);
  const imports = await once(BENCH, sha256(packer, code), () => makeBench(files));
  await once(LIBRARY, sha256(packer, imports.join("\n")), () => makeLibrary(imports));
  await rest;
  const listed = [...CORE, LOCK, FIRST, LIBRARY, BENCH, ...NOTICES].map((name) => {
    const size = (ending) => statSync(join(made, name + ending)).size;
    const sha = sha256(readFileSync(join(made, name)));
    return { name, sha256: sha, bytes: size(""), br: size(".br"), gz: size(".gz"), needed: !NOTICES.includes(name) };
  });
  return { folder: made, manifest: { pyodide: version, python: emptyLock().info.python, code, files: listed } };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) console.log((await build()).folder);
