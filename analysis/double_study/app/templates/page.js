'use strict';
const $ = (what, within = document) => within.querySelector(what);
const $$ = (what, within = document) => [...within.querySelectorAll(what)];
const key = $('meta[name=key]').content, explore = $('#explore');
const active = () => $('form[data-part]:not([hidden])');
const latest = {};

// Send a form, with the agreement and its settings, for a part of the page.
async function part(name, form, more = {}) {
  const fields = new URLSearchParams(new FormData($('#by')));
  for (const one of $$('[name^="set."]', explore)) fields.set(one.name, one.value);
  for (const [field, value] of new FormData(form)) if (!field.startsWith('set.')) fields.set(field, value);
  for (const [field, value] of Object.entries(more)) fields.set(field, value);
  const number = latest[name] = (latest[name] || 0) + 1;
  let text, fine = false;
  try {
    const answer = await fetch('/' + name, {method: 'POST', body: fields, headers: {'X-Key': key}});
    [text, fine] = [await answer.text(), answer.ok];
  } catch { text = ''; }
  if (!fine) text = '<p class="error" role="alert">The page has ended: start <code>double-study explore</code> again.</p>';
  return number === latest[name] ? text : null;
}

async function show(form, more) {
  const text = await part(form.id, form, more), live = $('.live', form);
  if (text === null) return;
  const focused = live.contains(document.activeElement) ? document.activeElement.id : '';
  const open = $('details[open]', live) !== null;
  live.innerHTML = text;
  if (open && $('details', live)) $('details', live).open = true;
  const next = $('[data-focus]', live) || (focused && document.getElementById(focused));
  if (next && form === active()) next.focus({preventScroll: true});
  $('#said').textContent = $$('[data-say], .verdict', live).map(one => one.textContent).join(' ');
  const cards = $('[data-cards]', live);
  if (cards) hold(cards.dataset.cards);
  const later = $('[data-load]', live);
  if (later) {
    for (const name of later.dataset.load.split(' ')) {
      const loaded = await part(name, form);
      if (loaded === null || !later.isConnected) return;
      later.innerHTML = loaded;
    }
  }
  const poll = $('[data-poll]', live);
  if (poll) setTimeout(() => poll.isConnected && show(form), poll.dataset.poll);
  if (form === explore) {
    const working = await part('working', form);
    if (working !== null && !working.startsWith('<'))
      for (const row of $$('.control[data-key]', form)) row.hidden = !working.split(' ').includes(row.dataset.key);
  }
}

// --- settings ---

function said(control) {
  const now = control.value, before = control.dataset.standing;
  control.nextElementSibling.textContent = now === before ? (control.type === 'range' ? now : '') : `${before} → ${now}`;
  control.parentElement.classList.toggle('changed', now !== before);
}
function agree() {
  for (const one of $$('.control[data-key] > [name^="set."]', explore)) said(one);
  for (const one of $$('[data-sets]')) {
    const values = new Set(one.dataset.sets.split(' ').map(set => $(`[name="set.${set}"]`).value));
    one.value = values.size === 1 ? [...values][0] : '';
  }
  $('#reset').hidden = $$('[name^="set."]', explore).every(one => one.value === one.dataset.standing);
}
async function standing() {
  const text = await part('controls', $('#by'));
  if (text === null) return;
  $('#controls').innerHTML = text;
  $('#asked').replaceChildren($('#questions'));
  agree();
  show(active());
}

// --- the pack ---

function hold(hand) {
  if (!hand) return;
  const suits = hand.split('.');
  for (const one of $$('[data-card]')) one.checked = suits['SHDC'.indexOf(one.dataset.card[0])].includes(one.dataset.card[1]);
  count();
}
function count() {
  const cards = $$('[data-card]:checked').map(one => one.dataset.card);
  $('#held').textContent = `${cards.length} card${cards.length === 1 ? '' : 's'}`;
  return [...'SHDC'].map(suit => cards.filter(card => card[0] === suit).map(card => card[1]).join('')).join('.');
}

// --- clicks and keys ---

function add(call) { $('#auction').value = `${$('#auction').value} ${call}`.trim(); }
let waiting;
document.addEventListener('input', event => {
  const one = event.target, form = one.form;
  if (one.dataset.card) $('#hand').value = count();
  if (one.dataset.sets && one.value) for (const set of one.dataset.sets.split(' ')) $(`[name="set.${set}"]`).value = one.value;
  if (one.dataset.sets || one.name.startsWith('set.')) agree();
  if (one.id === 'agreement') return standing();
  if (one.id === 'scope' && !one.matches(':focus-visible')) one.blur();  // so that keys are calls again
  clearTimeout(waiting);
  waiting = setTimeout(() => show(form, one.id === 'scope' ? {again: 1} : {}), one.type === 'text' ? 400 : 40);
});
document.addEventListener('click', event => {
  const one = event.target.closest('button');
  if (!one) return;
  const form = active(), data = one.dataset, auction = $('#auction');
  if (one.role === 'tab' || one.getAttribute('role') === 'tab') return open(one);
  if (one.id === 'reset') return standing();
  if (data.copy) return navigator.clipboard?.writeText(document.getElementById(data.copy).textContent).then(() => { one.textContent = 'Copied'; });
  if (data.call) return show(form, {call: data.call});
  if (data.go) return show(form, {[data.go]: 1});
  if (data.add) add(data.add);
  else if ('undo' in data) auction.value = auction.value.trim().split(/\s+/).slice(0, -1).join(' ');
  else if ('clear' in data) auction.value = '';
  else if ('nohand' in data) { $$('[data-card]').forEach(card => { card.checked = false; }); $('#hand').value = count(); }
  else return;
  show(form);
});
document.addEventListener('submit', event => event.preventDefault());

function open(tab) {
  for (const one of $$('[role=tab]')) {
    one.setAttribute('aria-selected', one === tab);
    one.tabIndex = one === tab ? 0 : -1;
    document.getElementById(one.getAttribute('aria-controls')).hidden = one !== tab;
  }
  tab.focus();
  show(active());
}

function along(list, at, event, across) {
  const step = {ArrowRight: 1, ArrowLeft: -1, ArrowDown: across, ArrowUp: -across}[event.key];
  if (!step) return;
  event.preventDefault();
  for (let next = at + step; next >= 0 && next < list.length; next += step)
    if (!list[next].disabled) return list[next];
}
let level = '';
document.addEventListener('keydown', event => {
  if (event.ctrlKey || event.altKey || event.metaKey) return;
  const one = event.target, grid = one.closest('[data-grid]');
  if (one.getAttribute('role') === 'tab') {
    const tabs = $$('[role=tab]'), next = along(tabs, tabs.indexOf(one), event, 1);
    if (next) return open(next);
  }
  if (grid) {
    const all = $$('button, input', grid), next = along(all, all.indexOf(one), event, +grid.dataset.grid);
    if (next) { one.tabIndex = -1; next.tabIndex = 0; next.focus(); return; }
  }
  if (one.matches('select, textarea, input:not([type=checkbox])')) return;
  const box = $('.box', active()), again = $('#again', active()), typed = event.key.toUpperCase();
  if (event.key === 'Enter' && again && !one.closest('button')) { again.click(); return; }
  if (!box) return;
  $$('.pending', box).forEach(button => button.classList.remove('pending'));
  if (/^[1-7]$/.test(typed)) {
    level = typed;
    $$(`[id^="bid-${level}"]`, box).forEach(button => button.classList.add('pending'));
    return;
  }
  const called = {P: 'pass', X: 'double'}[typed] || (level && 'CDHSN'.includes(typed) && level + (typed === 'N' ? 'NT' : typed));
  level = '';
  if (!called) return;
  // What is typed fast runs ahead of the buttons: the page says what cannot be.
  if ($('[data-add]', box)) { add(called); show(active()); } else document.getElementById(`bid-${called}`)?.click();
});
// One stop for the Tab key in each grid; the arrows move within it.
new MutationObserver(() => $$('[data-grid]').forEach(grid => {
  const all = $$('button, input', grid);
  if (all.filter(one => one.tabIndex === 0).length === 1) return;
  const first = all.find(one => one === document.activeElement) || all.find(one => !one.disabled);
  all.forEach(one => { one.tabIndex = one === first ? 0 : -1; });
})).observe(document.body, {childList: true, subtree: true});

$('#asked').replaceChildren($('#questions'));
agree();
hold($('#hand').value);
show(active());
