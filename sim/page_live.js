// Moves what a reader tries in the page to the engine and its answer back. Words, numbers and
// pictures come from the engine; the engine runs in a worker, so that the page never waits for it.
(() => {
  'use strict';
  const byId = (id) => document.getElementById(id);
  const box = byId('try-it');
  if (!box) return;
  if (typeof WebAssembly !== 'object' || typeof DecompressionStream !== 'function' ||
      typeof Worker !== 'function') {
    byId('try-not').hidden = false;
    return;
  }

  // Runs in the worker, which has nothing of the page but this text.
  const engine = () => {
    let live;
    const memory = () => new Uint8Array(live.memory.buffer);
    const bytes_of = (base64) => Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
    const give = (call, bytes) => {
      const at = live.live_text(bytes.length);
      memory().set(bytes, at);
      return call(at, bytes.length);
    };
    const start = async ({code, module, site}) => {
      if (!module) {
        const plain = new Blob([bytes_of(code)]).stream().pipeThrough(new DecompressionStream('gzip'));
        module = await WebAssembly.compile(await new Response(plain).arrayBuffer());
        postMessage({module});
      }
      const imports = {};
      for (const {module: from, name} of WebAssembly.Module.imports(module))
        (imports[from] ||= {})[name] = () => { throw new Error(name); };
      imports.page.progress = (part) => postMessage({part});
      live = (await WebAssembly.instantiate(module, imports)).exports;
      live._initialize();
      if (!give(live.live_open, bytes_of(site))) throw new Error('site');
    };
    onmessage = async ({data}) => {
      try {
        if (!live) await start(data);
        if (!give(live.live_ask, new TextEncoder().encode(data.question))) throw new Error('question');
        const at = live.live_answer_at();
        const text = new TextDecoder().decode(memory().subarray(at, at + live.live_answer_bytes()));
        postMessage({question: data.question, answer: JSON.parse(text)});
      } catch (error) {
        postMessage({question: data.question, failed: String(error)});
      }
    };
  };

  const source = URL.createObjectURL(new Blob([`(${engine})()`], {type: 'text/javascript'}));
  const people = byId('try-people'), state = byId('try-state'), bar = byId('try-bar');
  const switches = [...box.querySelectorAll('input[type=checkbox]')];
  const text_of = (id) => byId(id).textContent.trim();
  const as_it_is = people.value;
  const answers = new Map();  // by question, the oldest first
  const most_answers = 64;
  let worker, module, waiting, resting;
  let wanted;         // the question that the reader waits for
  let running;        // the one that the engine is at
  let looked_at = false;
  let people_before = Number(as_it_is), step = 1;  // which way the slider went last

  // The cases that are ticked, or would be with one switched over.
  const ticked = (over) =>
    switches.filter((s) => s.checked !== (s === over)).map((s) => s.value).join(',');
  const question = () => `${people.value};${ticked()}`;
  const say = (what) => { state.textContent = what ? state.dataset[what] : ''; };
  const busy = (yes) => {
    bar.hidden = !yes;
    bar.value = 0;
    box.setAttribute('aria-busy', String(yes));
  };
  const people_words = () => {
    const option = byId('try-people-words').querySelector(`[value="${people.value}"]`);
    byId('try-people-now').textContent = option.label;
    people.setAttribute('aria-valuetext', option.label);
  };

  const show = (answer) => {
    for (const part of ['tried', 'answer', 'change']) byId(`try-${part}`).textContent = answer[part];
    const list = byId('try-items');
    list.replaceChildren();
    for (const [lead, text] of answer.items) {
      list.appendChild(document.createElement('dt')).textContent = lead;
      list.appendChild(document.createElement('dd')).textContent = text;
    }
    byId('try-wide').innerHTML = answer.wide;  // SVG that the engine wrote and escaped
    byId('try-narrow').innerHTML = answer.narrow;
    byId('try-caption').textContent = answer.caption;
    byId('try-result').hidden = false;
  };

  const stop = () => {
    if (worker) worker.terminate();
    worker = running = undefined;
  };
  const fail = () => {
    const waited_for = running === wanted;
    answers.set(running);  // not again ahead of time
    stop();
    if (!waited_for) return;
    busy(false);
    say('failed');
    wanted = undefined;
  };
  const run = (asked) => {
    running = asked;
    if (!worker) {
      worker = new Worker(source);
      worker.onerror = fail;
      worker.onmessage = ({data}) => {
        if (data.module) module = data.module;
        if ('part' in data && running === wanted) bar.value = data.part;
        if (data.failed) fail();
        if (!data.answer) return;
        running = undefined;
        answers.set(data.question, data.answer);
        if (answers.size > most_answers) answers.delete(answers.keys().next().value);
        if (data.question !== wanted) return look_ahead();
        deliver();
        ahead_soon();
      };
    }
    worker.postMessage(
      {question: asked, module, site: text_of('engine-site'), code: module ? '' : text_of('engine')});
  };
  const deliver = () => {
    busy(false);
    say('');
    show(answers.get(wanted));
    box.dataset.question = wanted;
    wanted = undefined;
  };
  // While nobody waits: the slider's next steps and each case put on or off, so that they are there
  // at once.
  const look_ahead = () => {
    if (!looked_at || document.hidden || wanted !== undefined || running !== undefined) return;
    const now = Number(people.value);
    const stepped = (by) => [now + by, ticked()];
    const switched = switches.map((one) => [now, ticked(one)]);
    const likely = [stepped(step), stepped(-step), stepped(2 * step), ...switched, stepped(-2 * step)];
    for (const [many, cases] of likely) {
      const asked = `${many};${cases}`;
      if (many >= Number(people.min) && many <= Number(people.max) && !answers.has(asked))
        return run(asked);
    }
    box.dataset.ahead = question();
  };
  // Once the hand rests: what it does next must not wait for what was begun ahead of it.
  const ahead_soon = () => {
    clearTimeout(resting);
    resting = setTimeout(look_ahead, 400);
  };
  const ask = () => {
    clearTimeout(waiting);
    clearTimeout(resting);
    const asked = question();
    if (asked === wanted || (wanted === undefined && asked === box.dataset.question))
      return ahead_soon();
    wanted = asked;
    if (answers.get(wanted)) {
      deliver();
      return ahead_soon();
    }
    busy(true);
    say('busy');
    if (running === wanted) return;
    if (running !== undefined) stop();  // nobody waits for that answer any more
    run(wanted);
  };
  const soon = () => {
    people_words();
    step = Math.sign(Number(people.value) - people_before) || step;
    people_before = Number(people.value);
    clearTimeout(waiting);
    // At once; while an answer is still calculated, wait for the hand to rest.
    waiting = setTimeout(ask, box.getAttribute('aria-busy') === 'true' ? 60 : 0);
  };
  const set = (value, keys) => {
    people.value = value;
    for (const s of switches) s.checked = keys.includes(s.value);
    soon();
  };

  people.addEventListener('input', soon);
  for (const s of switches) s.addEventListener('change', soon);
  byId('try-reset').addEventListener('click', () => set(as_it_is, []));
  people_words();
  box.hidden = false;
  if (typeof IntersectionObserver === 'function') {
    new IntersectionObserver((seen, observer) => {
      if (!seen.some((one) => one.isIntersecting)) return;
      observer.disconnect();
      looked_at = true;
      ahead_soon();
    }).observe(box);
    document.addEventListener('visibilitychange', ahead_soon);
  }
  // report.html#people=6&leak&pumping: a link to what was tried.
  const link = location.hash.slice(1).split('&');
  const many = link.find((part) => part.startsWith('people='));
  if (many || link.some((part) => switches.some((s) => s.value === part))) {
    set(many ? many.slice('people='.length) : as_it_is, link);
    box.scrollIntoView();
  }
})();
