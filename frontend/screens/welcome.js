// Before sign-in: what Tuckline is and is not, and the two ways in.

import { useRef } from "../vendor/hooks.js";
import { useState } from "../vendor/hooks.js";
import { html } from "../parts/html.js";
import { DogFigure } from "../parts/dog_figure.js";
import { TextField } from "../parts/fields.js";
import { showFirstError } from "../parts/fields.js";
import { Screen } from "../parts/frame.js";
import { useApp } from "../parts/live.js";
import { signIn } from "../store/session.js";
import { signUp } from "../store/session.js";

const SHORTEST_PASSWORD = 12;

/** @param {{name: string, email: string, password: string}} form @param {boolean} joining */
function check(form, joining) {
  /** @type {Record<string, string>} */
  const errors = {};
  if (joining && !form.name.trim()) errors["name"] = "Give a name, so that others see who weighed.";
  if (!/^\S+@\S+\.\S+$/.test(form.email.trim())) errors["email"] = "Give an e-mail address, like mara@example.org.";
  if (!form.password) errors["password"] = "Give your password.";
  else if (joining && form.password.length < SHORTEST_PASSWORD) {
    errors["password"] = `At least ${SHORTEST_PASSWORD} characters; this has ${form.password.length}. A few words in a row are good.`;
  }
  return errors;
}

/** The server's words, each beside its field. @param {{errors: {field: string|null, text: string}[]} | {next: string}} answer */
function joined(answer) {
  if ("next" in answer) return { all: "This account asks for a second step (a code or a passkey). This version of the app cannot do that yet; use another device." };
  /** @type {Record<string, string>} */
  const said = {};
  for (const { field, text } of answer.errors) {
    const place = field && ["name", "email", "password"].includes(field) ? field : "all";
    said[place] = [said[place], text].filter(Boolean).join(" ");
  }
  return said;
}

/** @param {{joining: boolean, again?: string|undefined}} props again: the e-mail of the account whose entries wait on this phone */
function AccountForm({ joining, again }) {
  const { signedIn } = useApp();
  const [form, setForm] = useState({ name: "", email: again ?? "", password: "" });
  const [errors, setErrors] = useState(/** @type {Record<string, string>} */ ({}));
  const [busy, setBusy] = useState(false);
  const element = useRef(/** @type {HTMLFormElement|null} */ (null));
  const set = (/** @type {string} */ name) => (/** @type {string} */ value) => setForm({ ...form, [name]: value });

  async function submit(/** @type {Event} */ event) {
    event.preventDefault();
    const found = check(form, joining);
    setErrors(found);
    if (Object.keys(found).length) return showFirstError(element.current);
    setBusy(true);
    try {
      const email = form.email.trim();
      const answer = joining
        ? await signUp({ name: form.name.trim(), email, password: form.password })
        : await signIn({ email, password: form.password });
      if ("user" in answer) return signedIn();
      setErrors(joined(answer));
      showFirstError(element.current);
    } finally {
      setBusy(false);
    }
  }

  return html`<form class="stack sheet" ref=${element} onSubmit=${submit} novalidate>
    ${errors["all"] && html`<p class="note vet error" role="alert" tabindex="-1">${errors["all"]}</p>`}
    ${joining && html`<${TextField} label="Your name" value=${form.name} onValue=${set("name")} error=${errors["name"]} autocomplete="name" maxlength="80" />`}
    <${TextField} label="E-mail" type="email" value=${form.email} onValue=${set("email")} error=${errors["email"]} autocomplete="username" inputmode="email" />
    <${TextField} label="Password" type="password" value=${form.password} onValue=${set("password")} error=${errors["password"]}
      hint=${joining ? "12 characters or more." : undefined} autocomplete=${joining ? "new-password" : "current-password"} />
    <button class="button main wide" disabled=${busy}>${busy ? "One moment…" : joining ? "Create account" : "Sign in"}</button>
  </form>`;
}

export function SignUp() {
  return html`<${Screen} title="Create your account" quiet back=${{ href: "#/welcome", text: "Tuckline" }}>
    <${AccountForm} joining=${true} />
    <p class="pad">Have an account? <a class="link" href="#/signin">Sign in</a></p>
  <//>`;
}

export function SignIn() {
  const { session, store } = useApp();
  const again = session?.known?.email;
  const waiting = store?.status().waiting ?? 0;
  return html`<${Screen} title="Sign in" quiet back=${{ href: "#/welcome", text: "Tuckline" }}>
    ${waiting ? html`<p class="note pad">${waiting === 1 ? "1 entry is" : `${waiting} entries are`} safe on this phone and will be sent once you are signed in again as ${again}.</p>` : null}
    <${AccountForm} joining=${false} again=${again} />
    <p class="pad">New here? <a class="link" href="#/signup">Create an account</a></p>
  <//>`;
}

export function Welcome() {
  return html`<${Screen} title="Tuckline" quiet aside=${html`<${DogFigure} />`}>
    <p class="tell">Keep your dog at its right weight: feel the ribs, weigh once a week, feed a ration that is looked at again every week.</p>
    <div class="sheet">
      <div class="row plain"><h2>Hands first</h2><p>Three short looks with drawings say more than the scale alone.</p></div>
      <div class="row plain"><h2>Weigh anywhere</h2><p>Two taps, also without signal. Entries wait on the phone and are sent later.</p></div>
      <div class="row plain"><h2>A ration in grams</h2><p>Worked out from published rules, with the doubt shown. Every figure can be asked why.</p></div>
    </div>
    <div class="stack">
      <a class="button main wide" href="#/signup">Create an account</a>
      <a class="button wide" href="#/signin">I have an account</a>
      <div class="note attention">
        <h3>What it is not</h3>
        <p>Not a vet. It examines no dog and gives no reduced ration to one that is growing, pregnant, nursing or lean. Let a vet look at a dog before it gets less food.</p>
      </div>
    </div>
  <//>`;
}
