// Asks a page's engine under node, as the page's script does in a browser:
//   node live_engine.mjs PAGE.html QUESTION...
// One line of JSON for each question: the engine's answer, or {"failed": ...}.
import {readFileSync} from 'node:fs';
import {gunzipSync} from 'node:zlib';

const [file, ...questions] = process.argv.slice(2);
const page = readFileSync(file, 'utf8');
const data = (id) => {
  const found = page.match(new RegExp(`<script type="application/octet-stream" id="${id}">([^<]*)<`));
  if (!found) throw new Error(`the page has no ${id}`);
  return Buffer.from(found[1], 'base64');
};

const module = new WebAssembly.Module(gunzipSync(data('engine')));
let told = 0;
const imports = {};
for (const {module: from, name} of WebAssembly.Module.imports(module))
  (imports[from] ||= {})[name] = () => { throw new Error(`${from}.${name}`); };
imports.page.progress = (part) => {
  if (!(part >= 0 && part <= 1)) throw new Error(`progress ${part}`);
  told += 1;
};
const live = new WebAssembly.Instance(module, imports).exports;
live._initialize();
const give = (call, bytes) => {
  const at = live.live_text(bytes.length);
  new Uint8Array(live.memory.buffer).set(bytes, at);
  return call(at, bytes.length);
};
if (!give(live.live_open, data('engine-site'))) throw new Error('live_open refuses the site');
for (const question of questions) {
  told = 0;
  if (!give(live.live_ask, Buffer.from(question))) {
    console.log(JSON.stringify({failed: question}));
    continue;
  }
  if (told === 0) throw new Error('no progress told');
  const at = live.live_answer_at();
  console.log(Buffer.from(live.memory.buffer, at, live.live_answer_bytes()).toString('utf8'));
}
