"""How long a changed size takes to the redrawn sheet, asked as a browser asks while one types.

    python bench/sizes_sheet.py [ROUNDS]

Many changes of every size of the demo, each to a number that was not there before. The
first answer has the two parts that change most, with picture and blank; the whole sheet
has all of them. Times are those of the server, without a network.
"""

import re
import shutil
import statistics
import sys
import tempfile
import time
import warnings
from pathlib import Path

from foldwright.web import LiveBuild, page_of

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

DEMO = Path(__file__).parents[1] / "examples" / "harbour-signal-lamp"


def main(rounds: int) -> None:
    """Change sizes, and print how long the answers took."""
    with tempfile.TemporaryDirectory() as folder:
        shutil.copy(DEMO / "plan.toml", folder)
        app = page_of(LiveBuild(Path(folder)))
        browser = TestClient(app, base_url="http://127.0.0.1", client=("127.0.0.1", 50000))
        text = browser.get("/sizes", headers={"Accept": "text/html"}).text
        sent = dict(re.findall(r'name="((?:plan|give|trust)\.\w+)" value="([^"]*)"', text))
        sent["token"] = re.search(r'data-token="(\w+)"', text)[1]
        sizes = [name for name in sent if name.startswith("plan.")]
        for few in ("1", ""):
            took, worked = [], []
            for turn in range(rounds):
                for name in sizes:
                    value = f"{float(sent[name]) + 0.1 * (turn + 1) + 0.05 * bool(few):.2f}"
                    body = sent | {name: value, "try": "1"} | ({"few": "1"} if few else {})
                    begun, at_work = time.perf_counter(), time.process_time()
                    answer = browser.post("/sizes", data=body)
                    took.append(1e3 * (time.perf_counter() - begun))
                    worked.append(1e3 * (time.process_time() - at_work))
                    assert answer.status_code == 200 and "As it would be" in answer.text
            tenths = statistics.quantiles(took, n=10)
            print(
                f"{'first parts' if few else 'whole sheet'}: {len(took)} changes of "
                f"{len(sizes)} sizes, median {statistics.median(took):.0f} ms, "
                f"90 % within {tenths[-1]:.0f} ms; "
                f"of the processor's time {statistics.median(worked):.0f} ms"
            )
        app.state.jobs.close()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10)
