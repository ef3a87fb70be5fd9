// node editor.js SERVER SESSION.json ANSWERS.json: an editor, as far as a language server sees one. It speaks the Language Server
// Protocol 3.17 over stdio to SERVER. SESSION has the user's settings of the server and what is asked, { "settings": { }, "asks": [ ] }:
//
//     { "path": "…/a.yaml", "text": "…", "ask": "complete" | "hover" | "diagnose", "line": 0, "character": 0 }
//
// Each is a document of its own; `text` is what stands in its window, and need not be on the disk. ANSWERS is a list of the server's answers, in that order:
// of `complete` its items, of `hover` its text with its range, of `diagnose` its diagnostics. Lines and characters count from 0.
"use strict";
const { spawn } = require("node:child_process");
const fs = require("node:fs");
const { pathToFileURL } = require("node:url");

const [server, session, answers] = process.argv.slice(2);
const child = spawn(process.execPath, [server, "--stdio"], { stdio: ["pipe", "pipe", "inherit"] });
const waiting = new Map(); // our requests by their number
const diagnosed = new Map(); // what waits for the diagnostics of a document, by its address
let number = 0;

function send(message) {
    const text = JSON.stringify({ jsonrpc: "2.0", ...message });
    child.stdin.write(`Content-Length: ${Buffer.byteLength(text)}\r\n\r\n${text}`);
}
const notify = (method, params) => send({ method, params });
const request = (method, params) =>
    new Promise((resolve, reject) => {
        waiting.set(++number, { resolve, reject });
        send({ id: number, method, params });
    });

const { settings: own, asks } = JSON.parse(fs.readFileSync(session, "utf8"));
const settings = {
    yaml: { schemaStore: { enable: false }, validate: true, hover: true, completion: true, ...own },
    editor: { tabSize: 2 },
};

function heard(message) {
    if (message.method === "workspace/configuration") {
        send({ id: message.id, result: message.params.items.map((item) => settings[item.section] ?? null) });
    } else if (message.method === "textDocument/publishDiagnostics") {
        diagnosed.get(message.params.uri)?.(message.params.diagnostics);
        diagnosed.delete(message.params.uri);
    } else if (message.method && message.id !== undefined) {
        send({ id: message.id, result: null }); // to register something, for instance
    } else if (message.id !== undefined) {
        const asked = waiting.get(message.id);
        waiting.delete(message.id);
        if (message.error) asked?.reject(new Error(message.error.message));
        else asked?.resolve(message.result);
    }
}

let bytes = Buffer.alloc(0);
child.stdout.on("data", (piece) => {
    bytes = Buffer.concat([bytes, piece]);
    for (;;) {
        const head = bytes.indexOf("\r\n\r\n");
        if (head < 0) return;
        const length = Number(/Content-Length: *(\d+)/i.exec(bytes.subarray(0, head).toString())[1]);
        if (bytes.length < head + 4 + length) return;
        const text = bytes.subarray(head + 4, head + 4 + length).toString();
        bytes = bytes.subarray(head + 4 + length);
        heard(JSON.parse(text));
    }
});

async function answer({ path, text, ask, line, character }) {
    const uri = pathToFileURL(path).href;
    const opened = new Promise((resolve) => diagnosed.set(uri, resolve));
    notify("textDocument/didOpen", { textDocument: { uri, languageId: "yaml", version: 1, text } });
    const diagnostics = await opened; // of each document, a moment after it is opened
    const at = { textDocument: { uri }, position: { line, character } };
    if (ask === "complete") return (await request("textDocument/completion", at)).items;
    if (ask === "hover") return request("textDocument/hover", at);
    return diagnostics;
}

async function main() {
    const root = pathToFileURL(process.cwd()).href;
    await request("initialize", {
        processId: process.pid,
        rootUri: root,
        workspaceFolders: [{ uri: root, name: "shop" }],
        capabilities: {
            workspace: { configuration: true, didChangeConfiguration: { dynamicRegistration: true } },
            textDocument: {
                completion: { completionItem: { snippetSupport: true, documentationFormat: ["markdown"] } },
                hover: { contentFormat: ["markdown"] },
                publishDiagnostics: { relatedInformation: true },
            },
        },
    });
    notify("initialized", {});
    notify("workspace/didChangeConfiguration", { settings });
    const given = await Promise.all(asks.map(answer));
    fs.writeFileSync(answers, JSON.stringify(given, null, 1));
    await request("shutdown", null);
    notify("exit");
}

setTimeout(() => {
    console.error(`the server gave no answer to: ${[...waiting.keys()].join(", ") || [...diagnosed.keys()].join(", ")}`);
    child.kill();
    process.exit(1);
}, 60_000).unref();
child.on("exit", (status) => process.exit(status ?? 1));
main().catch((error) => {
    console.error(error);
    child.kill();
    process.exit(1);
});
