"""Real servers and other people's programs with published sites: nginx serves one in a sub-folder, first with its
default settings, then with the lines of README; DuckDB reads the data files of several gardens with README's query.

usage: host.py SITE SITE...   (the first is served)
"""

import json
import pathlib
import re
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request

import duckdb

README = pathlib.Path("README.md").read_text(encoding="utf-8")
# What nginx 1.22 of Debian sends by its own list of types; the task calendar is not in it.
TYPES = {
    ".html": "text/html",
    ".css": "text/css",
    ".js": "application/javascript",
    ".json": "application/json",
    ".xml": "text/xml",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".webp": "image/webp",
    ".woff2": "font/woff2",
    ".txt": "text/plain",
    ".ics": "application/octet-stream",
}
CONFIG = """
daemon off; master_process off; pid {room}/pid; error_log {room}/error.log;
events {{ }}
http {{
  include /etc/nginx/mime.types; default_type application/octet-stream; access_log off;
  client_body_temp_path {room}/b; proxy_temp_path {room}/p; fastcgi_temp_path {room}/f;
  uwsgi_temp_path {room}/u; scgi_temp_path {room}/s;
  server {{ listen 127.0.0.1:{port}; root {room}/public; {more} }}
}}
"""


def free_port():
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return one.getsockname()[1]


class Host:
    """nginx on the loopback address, with these lines more in its server block."""

    def __init__(self, room, more=""):
        self.port = free_port()
        conf = room / "nginx.conf"
        conf.write_text(CONFIG.format(room=room, port=self.port, more=more))
        self.process = subprocess.Popen(["nginx", "-p", room, "-c", conf], stderr=subprocess.DEVNULL)
        for _ in range(100):
            try:
                socket.create_connection(("127.0.0.1", self.port)).close()
                return
            except OSError:
                time.sleep(0.05)
        sys.exit(f"nginx does not answer: {(room / 'error.log').read_text()}")

    def get(self, path, **headers):
        request = urllib.request.Request(f"http://127.0.0.1:{self.port}/{path}", headers=headers)
        try:
            with urllib.request.urlopen(request) as answer:
                return answer.status, answer.headers, answer.read()
        except urllib.error.HTTPError as error:
            return error.code, error.headers, error.read()

    def stop(self):
        self.process.terminate()
        self.process.wait()


def by_default(room, site):
    host = Host(room)
    seen = {}
    for file in sorted(path for path in site.rglob("*") if path.is_file()):
        if file.suffix in seen and seen[file.suffix] > 20 or file.name.startswith("."):
            continue
        seen[file.suffix] = seen.get(file.suffix, 0) + 1
        path = "garden/" + file.relative_to(site).as_posix()
        status, headers, body = host.get(path)
        kind = headers["Content-Type"].split(";")[0]
        wanted = TYPES.get(file.suffix, "application/octet-stream")
        assert (status, kind, body) == (200, wanted, file.read_bytes()), (path, status, kind)
        # A second visit asks whether the file is still the same: nothing is sent again.
        status, _, body = host.get(path, **{"If-None-Match": headers["ETag"]})
        assert (status, body) == (304, b""), (path, status)
    for folder in ["garden/", "garden/tasks/", "garden/crops/"]:
        status, headers, body = host.get(folder)
        assert status == 200 and b"<html" in body, folder
    # Without the slash it leads to the folder.
    assert host.get("garden/tasks")[0] == 200
    assert host.get("garden/nowhere/")[0] == 404
    host.stop()
    assert {".html", ".css", ".ics", ".json", ".xml", ".woff2"} <= seen.keys(), seen
    return sum(seen.values())


def as_readme_says(room, site):
    lines = re.search(r"```nginx\n(.*?)```", README, re.S)[1]
    # There the site is at the top of its host.
    shutil.copytree(site, room / "public", dirs_exist_ok=True)
    host = Host(room, lines)
    status, headers, _ = host.get("tasks.ics")
    assert (status, headers["Content-Type"]) == (200, "text/calendar; charset=utf-8"), headers["Content-Type"]
    status, _, body = host.get("crops/nothing/")
    assert status == 404 and body == (site / "404.html").read_bytes(), status
    host.stop()


def all_gardens(room, sites):
    for number, site in enumerate(sites):
        folder = room / "club/public" / str(number)
        folder.mkdir(parents=True)
        shutil.copy(site / "garden.json", folder)
    query = re.search(r"```sql\n(.*?)```", README, re.S)[1].replace("public/", f"{room}/club/public/")
    rows = duckdb.sql(query).fetchall()
    wanted = []
    for site in sites:
        data = json.loads((site / "garden.json").read_text(encoding="utf-8"))
        season = data["garden"]["season"]["name"]
        sums = {one["of"]: one for one in data["yields"]["sums"]}
        for of, one in sums.items():
            if of == f"season={season}/crop={one['crop']}" and one["fresh_g"]:
                wanted.append((data["garden"]["name"], one["crop"], round(one["fresh_g"] / 1000, 1)))
    assert len(rows) == len(wanted) > 5, (len(rows), len(wanted))
    for name, crop, kg in rows:
        assert any(one[:2] == (name, crop) and abs(one[2] - kg) < 0.11 for one in wanted), (name, crop, kg)
    assert [row[2] for row in rows] == sorted((row[2] for row in rows), reverse=True)
    return len(rows), len({row[0] for row in rows})


def main(*sites):
    sites = [pathlib.Path(site) for site in sites]
    with tempfile.TemporaryDirectory() as room:
        room = pathlib.Path(room)
        shutil.copytree(sites[0], room / "public/garden")
        files = by_default(room, sites[0])
        as_readme_says(room, sites[0])
        rows, gardens = all_gardens(room, sites)
    print(f"host: nginx served {files} files and knew each again; DuckDB read {rows} crops of {gardens} gardens")


main(*sys.argv[1:])
