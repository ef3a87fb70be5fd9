// form.js IN.pdf OUT.pdf TEXTS ...: fills the form as a browser's viewer does, with Debian's pdf.js, and saves it; of several, one after
// the other. TEXTS has lines of name, tab, text; the text `Yes` sets a check box. Prints the names of the attachments.
const fs = require("fs");
const pdfjs = require("/usr/share/javascript/pdf/build/pdf.js");
pdfjs.GlobalWorkerOptions.workerSrc = "/usr/share/javascript/pdf/build/pdf.worker.js";

async function fill(source, to, texts) {
    const wanted = new Map(fs.readFileSync(texts, "utf8").split("\n").filter(Boolean).map(line => line.split("\t")));
    const data = new Uint8Array(fs.readFileSync(source));
    const document = await pdfjs.getDocument({ data, disableFontFace: true, useSystemFonts: false }).promise;
    const done = new Set();
    for (let number = 1; number <= document.numPages; ++number) {
        const page = await document.getPage(number);
        for (const field of await page.getAnnotations()) {
            const text = wanted.get(field.fieldName);
            if (text === undefined) continue;
            document.annotationStorage.setValue(field.id, { value: field.checkBox ? text === "Yes" : text });
            done.add(field.fieldName);
        }
    }
    for (const name of wanted.keys())
        if (!done.has(name)) throw new Error(`no field named ${name}`);
    console.log(Object.keys((await document.getAttachments()) ?? {}).join("\n"));
    fs.writeFileSync(to, await document.saveDocument());
}

async function main(files) {
    for (let at = 0; at < files.length; at += 3) await fill(...files.slice(at, at + 3));
    process.exit(0);
}

main(process.argv.slice(2)).catch(error => {
    console.error(error);
    process.exit(1);
});
