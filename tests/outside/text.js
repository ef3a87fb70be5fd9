// text.js IN.pdf WANTED.txt: whether all pages have this text as a browser's viewer reads it, with Debian's pdf.js, which takes some characters
// apart ("…" is "...", as by Unicode's NFKC); blanks do not count. Status 1 and both texts when not.
const fs = require("fs");
const pdfjs = require("/usr/share/javascript/pdf/build/pdf.js");
pdfjs.GlobalWorkerOptions.workerSrc = "/usr/share/javascript/pdf/build/pdf.worker.js";

const plain = text => text.normalize("NFKC").replace(/\s/g, "");

async function main(file, wanted) {
    const data = new Uint8Array(fs.readFileSync(file));
    const document = await pdfjs.getDocument({ data, disableFontFace: true, useSystemFonts: false }).promise;
    let text = "";
    for (let number = 1; number <= document.numPages; ++number)
        for (const item of (await (await document.getPage(number)).getTextContent()).items) text += item.str;
    const [is, should] = [plain(text), plain(fs.readFileSync(wanted, "utf8"))];
    if (is !== should) throw new Error(`${is}\n${should}`);
}

main(...process.argv.slice(2)).catch(error => {
    console.error(error.message);
    process.exit(1);
});
