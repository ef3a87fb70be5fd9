#!/usr/bin/python3
"""Fetches the npm packages of npm_packages.txt into .build/npm/node_modules: every byte is held against the list's integrity.

usage: fetch_npm.py            does nothing when they are there as the list has them

They are programs and schemas of other people that tests ask; the program itself needs none of them. Debian's npm is not needed.
"""
import base64
import concurrent.futures
import hashlib
import io
import os
import pathlib
import shutil
import sys
import tarfile
import time
import urllib.request

HERE = pathlib.Path(__file__).resolve().parent
LIST = HERE / "npm_packages.txt"
ROOT = HERE.parent.parent / ".build" / "npm"


def packages(text):
    for line in text.splitlines():
        if line and not line.startswith("#"):
            yield line.split()


def fetch(url):
    for left in (2, 1, 0):
        try:
            with urllib.request.urlopen(url, timeout=30) as answer:
                return answer.read()
        except OSError as error:
            if left == 0 or getattr(error, "code", 500) == 404:
                raise OSError(f"cannot fetch {url}: {error}") from error
            time.sleep(1)


def checked(url, integrity):
    sort, _, wanted = integrity.partition("-")
    if sort != "sha512":
        raise OSError(f"{url}: its integrity has to be a sha512")
    data = fetch(url)
    if base64.b64encode(hashlib.sha512(data).digest()).decode() != wanted:
        raise OSError(f"{url}: not the bytes that {LIST.name} names")
    return data


def unpack(data, folder):
    """Plain files alone, below the archive's one folder; nothing is written outside `folder`."""
    with tarfile.open(fileobj=io.BytesIO(data), mode="r:gz") as archive:
        for member in archive:
            parts = pathlib.PurePosixPath(member.name).parts[1:]
            if not member.isfile() or not parts or ".." in parts:
                continue
            to = folder.joinpath(*parts)
            to.parent.mkdir(parents=True, exist_ok=True)
            to.write_bytes(archive.extractfile(member).read())


def main():
    text = LIST.read_text()
    stamp = ROOT / LIST.name
    if stamp.is_file() and stamp.read_text() == text:
        return 0
    new = ROOT.with_name(f"npm.{os.getpid()}")
    try:
        with concurrent.futures.ThreadPoolExecutor(16) as pool:
            fetched = [(folder, pool.submit(checked, url, integrity)) for folder, _, url, integrity in packages(text)]
            try:
                for folder, data in fetched:
                    unpack(data.result(), new / "node_modules" / folder)
            except OSError:
                pool.shutdown(wait=False, cancel_futures=True)
                raise
        (new / LIST.name).write_text(text)
        shutil.rmtree(ROOT, ignore_errors=True)
        new.rename(ROOT)
    except OSError as error:
        print(f"{error}\nThe tests of editors and of SARIF, and the bench, need the packages of {LIST}; they are fetched once, with a network.",
              file=sys.stderr)
        return 1
    finally:
        shutil.rmtree(new, ignore_errors=True)
    return 0


sys.exit(main())
