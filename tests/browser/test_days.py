"""Each person's day as one story, in a real browser against a real server."""

import re
from io import BytesIO

import pytest
from playwright.sync_api import expect
from pypdf import PdfReader
from tests.browser.conftest import accessible, fits, now
from tests.support.accounts import PASSWORD
from tests.support.jobs import plain
from tests.support.pick_room import pack
from tests.web.test_routes import ROUTES, methods_of, path_of

from wholekit.domain.quotes import State
from wholekit.services import job_openings, jobs, orders, quotes, shipping, waves
from wholekit.services.catalogs import stored_with_cost

# Every page, as it comes: a new one is looked at without being named here.
PAGES = [
    path_of(route)
    for route in ROUTES
    if "GET" in methods_of(route)
    and not route.path.endswith(
        # Files, machines, and parts that a page takes in.
        (".pdf", ".xlsx", "/ways", "{form}", "{kind}", "/metrics", "/health", "/sign-in", "{paper}")
    )
]


def put_in(page, line):
    page.fill("#lines", line)
    expect(page.locator("#preview .kit")).to_contain_text("USD")
    price = page.locator("#preview .kit strong").first.inner_text()
    page.press("#lines", "Enter")
    page.wait_for_url("**/jobs/*")
    expect(page.locator("#lines")).to_be_focused()
    return price


def test_the_counters_day_from_a_call_to_an_issued_quote(enter, shop):
    page = enter("ines")
    page.click("text=New job")
    page.fill("[name=name]", "Tern Lane Clinic")
    page.select_option("[name=customer]", "saltmarsh")
    page.click("text=Begin the job")
    price = put_in(page, "101 3070 hollow-metal/steel interior in LH accessible 689 x2")
    expect(page.locator(".openings")).to_contain_text(price)
    accessible(page)
    page.fill("#lines", "102 3070 gold-plated")
    expect(page.locator("#preview")).to_contain_text("gold-plated")
    page.fill("#lines", "")
    page.set_input_files(
        "[name=sheet]",
        {
            "name": "doors.csv",
            "mimeType": "text/csv",
            "buffer": b"Door No,Size,Mat'l,Frame,Int/Ext,Fire Rating\n201,3070,HM,HM,INT,90 MIN\n",
        },
    )
    page.click("text=Read it")
    expect(page.locator("main")).to_contain_text("1 opening read")
    accessible(page)
    page.click("text=Put 1 opening into the job")
    expect(page.locator(".openings")).to_contain_text("201")
    page.click("text=Questions to the customer")
    accessible(page)
    page.go_back()
    page.click("text=Look over and issue")
    accessible(page)
    shop.power_cut()
    page.check("[name=without_stopped]")
    page.click("main button.main")
    expect(page.locator("h1")).to_contain_text("Q-0000")
    quote = page.url
    shop.power_cut()
    page.goto(quote)
    expect(page.locator("h1")).to_contain_text("Q-0000")
    accessible(page)
    # Within the page it says how far it is, and is shown once it is made.
    address = page.url + "/quote.pdf"
    expect(page.locator("iframe")).to_have_attribute("src", re.compile("/quote.pdf$"))
    page.goto(f"{shop.address}/papers")
    expect(page.locator("main")).to_contain_text("is done", timeout=60_000)
    accessible(page)
    paper = page.request.get(address)
    assert paper.headers["content-type"] == "application/pdf"
    assert paper.body().startswith(b"%PDF")


def at_cell(page):
    """Where the focus is: the mark of its row, and the cell."""
    return page.evaluate(
        "(e => [e.parentElement.querySelector('th a').textContent, e.dataset.cell])"
        "(document.activeElement)"
    )


def focus_cell(page, cell):
    """The focus in the table, once its keys are listened to."""
    page.wait_for_selector("[role=grid]")
    page.focus(f"tr[data-version]{cell}")


def test_the_table_of_openings_goes_by_keys_takes_rows_and_ways_out(enter, shop):
    page = enter("ines")
    page.click("text=New job")
    page.fill("[name=name]", "Gull Wharf Offices")
    page.select_option("[name=customer]", "saltmarsh")
    page.click("text=Begin the job")
    # Rows of a spreadsheet, without their heading, are pasted where lines are typed.
    rows = "301\t3070\tHM\tHM\tINT\t2\tB\n302\t3070\tWD\tHM\tINT\t1\t90\n"
    paste = (
        "([element, text]) => { const data = new DataTransfer(); data.setData('text/plain', text);"
        " element.dispatchEvent(new ClipboardEvent('paste',"
        " {clipboardData: data, bubbles: true, cancelable: true})); }"
    )
    page.evaluate(paste, [page.locator("#lines").element_handle(), rows])
    page.wait_for_url("**/sheet")
    expect(page.locator("main")).to_contain_text("2 openings read")
    accessible(page)
    page.click("text=Put 2 openings into the job")
    expect(page.locator(".openings")).to_contain_text("302")
    accessible(page)
    # Arrows move, typing changes, Tab goes on; what is wrong is told at the cell.
    focus_cell(page, " [data-cell=mark]")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowRight")
    assert at_cell(page) == ["302", "quantity"]
    page.keyboard.type("x")
    page.keyboard.press("Tab")
    expect(page.locator(".cell-said")).to_contain_text("x")
    accessible(page)
    page.keyboard.press("Control+a")
    page.keyboard.type("4")
    page.keyboard.press("Tab")
    expect(page.locator("#o-302 [data-cell=quantity]")).to_have_text("4")
    assert at_cell(page) == ["302", "size"]
    # Somebody else changes the same opening meanwhile: it is told, and nothing is lost.
    other = enter("sam")
    other.goto(page.url.split("#")[0])
    focus_cell(other, "#o-302 [data-cell=words]")
    other.keyboard.press("F2")
    # What is scheduled stays in sight, and a second F2 takes nothing of what was typed.
    expect(other.locator("#o-302 .kept")).not_to_be_empty()
    other.keyboard.type("exterior")
    other.keyboard.press("F2")
    expect(other.locator("#o-302 .edited input")).to_have_value("exterior")
    other.keyboard.press("Enter")
    expect(other.locator("#o-302")).to_contain_text("Exterior")
    page.keyboard.press("F2")
    page.keyboard.press("Control+a")
    page.keyboard.type("4070")
    page.keyboard.press("Enter")
    expect(page.locator(".cell-said")).to_contain_text("Somebody else has changed")
    page.click("text=Show it as it is now")
    expect(page.locator("#o-302")).to_contain_text("Exterior")
    # What stops 301 is answered by the key of a number.
    focus_cell(page, "#o-301 [data-cell=mark]")
    page.keyboard.press("F4")
    expect(page.locator(".ways kbd").first).to_have_text("1")
    expect(page.locator(".ways")).to_be_focused()
    accessible(page)
    page.keyboard.press("1")
    expect(page.locator("#o-301")).to_contain_text("60 min fire label")
    expect(page.locator('#o-301 [tabindex="0"]')).to_be_focused()
    # Enter opens; facts show what they would come to before they are saved.
    focus_cell(page, "#o-301 [data-cell=mark]")
    page.keyboard.press("Enter")
    page.wait_for_url("**/openings/301")
    page.fill("[name=width]", "48 in")
    expect(page.locator("#trial")).to_contain_text("4'-0\"")
    accessible(page)
    page.click("text=Save")
    expect(page.locator(".about")).to_contain_text("4'-0\"")


def scan(page, text, verdict):
    page.fill("#scan", text)
    page.press("#scan", "Enter")
    expect(page.locator(f'[data-answer="{verdict}"]')).to_be_visible()
    expect(page.locator("#scan")).to_be_focused()


def wanted(page):
    return page.locator(".needs li:not(.done) strong").all_inner_texts()


def test_the_pickers_day_with_a_wrong_scan_a_power_cut_and_a_network_gap(enter, shop):
    page = enter("pia", 800)
    page.click("nav >> text=Pick room")
    accessible(page)
    page.click("text=Begin a wave")
    page.wait_for_url("**/picking/waves/*")
    bag = page.locator('.cartbags button[name="scan"]').first.get_attribute("value")
    scan(page, bag, "right")
    scan(page, "NOT-OURS-7", "wrong")
    expect(page.locator("#cart .answer")).to_contain_text("NO")
    accessible(page)
    first, *_ = wanted(page)
    scan(page, first, "right")
    # The server dies, and comes back: what was confirmed is there, and the next scan is kept.
    shop.kill()
    left = wanted(page)
    if left:
        page.fill("#scan", left[0])
        page.press("#scan", "Enter")
        expect(page.locator("#pending")).to_contain_text("not yet confirmed: 1")
    shop.start()
    expect(page.locator("#pending")).to_be_hidden(timeout=30_000)
    # And the network goes for a while: what is kept is named, and no old answer stands large.
    # On its return each refused one is told, until somebody has seen it.
    if left := wanted(page):
        page.context.set_offline(True)
        for code in ("NOT-OURS-8", left[0], "NOT-OURS-9"):
            page.fill("#scan", code)
            page.press("#scan", "Enter")
            expect(page.locator("#kept")).to_contain_text(f"KEPT not checked: {code}")
        expect(page.locator("#cart.away")).to_be_visible()
        expect(page.locator("#pending")).to_contain_text("not yet confirmed: 3")
        accessible(page)
        page.context.set_offline(False)
        expect(page.locator("#refused")).to_contain_text("2 of 3 kept scans were refused")
        expect(page.locator("#refused li")).to_have_count(2)
        expect(page.locator("#refused li").first).to_contain_text("NOT-OURS-8")
        expect(page.locator("#kept")).to_be_hidden()
        accessible(page)
        page.click("#refused button")
        expect(page.locator("#refused")).to_be_hidden()
        expect(page.locator("#scan")).to_be_focused()
    while wanted(page):
        page.context.set_offline(True)
        page.fill("#scan", wanted(page)[0])
        page.press("#scan", "Enter")
        expect(page.locator("#pending")).to_be_visible()
        page.context.set_offline(False)
        expect(page.locator("#pending")).to_be_hidden(timeout=30_000)
    page.click("text=Close the bag")
    expect(page.locator("#cart .answer")).to_contain_text("closed")
    assert "USD" not in page.content()


def test_scans_outlive_a_seat_that_ended(enter, shop):
    """Somebody must sign in again while scans wait: they are kept, and sent once."""
    page = enter("pia", 390)
    page.goto(f"{shop.address}/picking")
    # The wave of the day before, or one of its own.
    under_way = page.locator(".card")
    (under_way.first if under_way.count() else page.locator("text=Begin a wave")).click()
    page.wait_for_url("**/picking/waves/*")
    scan(page, page.locator('.cartbags button[name="scan"]').last.get_attribute("value"), "right")
    left = wanted(page)
    page.context.clear_cookies()
    page.fill("#scan", left[0])
    page.press("#scan", "Enter")
    expect(page.locator("#pending")).to_contain_text("Sign in again")
    other = page.context.new_page()
    other.goto(f"{shop.address}/sign-in")
    other.fill("[name=name]", "pia")
    other.fill("[name=password]", PASSWORD)
    other.click("button.main")
    expect(page.locator("#pending")).to_be_hidden(timeout=30_000)
    expect(page.locator('[data-answer="right"]')).to_be_visible()
    assert page.locator(".needs li > span small").all_inner_texts() == ["1 in"]


def test_closed_bags_leave_and_nothing_confirmed_is_lost(enter, shop, house):
    """Chosen by scan and handed over, the rest by one press; the server dies after each."""
    odo = now("odo")
    job = jobs.create_job(house, odo, jobs.NewJob("Skerry View Hall", "saltmarsh"))
    marks = [plain(mark) for mark in ("301", "302", "303")]
    job_openings.add_openings(house, odo, job.label, marks)
    quotes.issue_quote(house, odo, job.label)
    with house.store.reading() as uow:
        (revision,) = uow.revisions.of_job(job.id)
    quotes.close_quote(house, odo, revision.label, State.ACCEPTED)
    orders.release_order(house, odo, revision.label, orders.ToldRelease())
    wave = waves.open_wave(house, odo, orders=[revision.id])
    bags = [row.id for row, _ in wave.bags]
    for bag in bags[:2]:
        pack(house, odo, wave.number, bag)
    page = enter("pia", 800)
    page.click("nav >> text=Pick room")
    page.click("nav >> text=To ship")
    scan_field = page.locator("#scan")
    expect(scan_field).to_be_focused()
    accessible(page)
    scan_field.fill(bags[2])
    scan_field.press("Enter")
    expect(page.locator('[role="alert"]')).to_contain_text("only a closed bag is shipped")
    page.fill("#scan", bags[1])
    page.press("#scan", "Enter")
    expect(page.locator(f'[value="{bags[1]}"][type="checkbox"]')).to_be_checked()
    accessible(page)
    shop.power_cut()
    page.check('[value="will-call"]')
    page.fill("[name=received_by]", "Ada Ferris")
    page.click("text=Those chosen leave")
    expect(page.locator(".tickbags li")).to_have_count(1)
    expect(scan_field).to_be_focused()
    accessible(page)
    # Enter behind a scan checks a bag of the list, or refuses it; with the network away neither.
    page.context.set_offline(True)
    scan_field.fill(bags[1])
    scan_field.press("Enter")
    expect(page.locator(".lost")).to_contain_text(f"No network: {bags[1]} was not taken")
    page.context.set_offline(False)
    scan_field.press("Enter")
    expect(page.locator(".checked")).to_have_count(1)
    scan_field.fill("NOT-OURS-7")
    scan_field.press("Enter")
    expect(page.locator('[data-answer="wrong"]')).to_be_visible()
    accessible(page)
    assert shipping.list_shipments(house, odo, revision.label)[1] == ()
    page.click("text=Yes, 1 bag has left")
    expect(page.locator(".answer")).to_contain_text("GONE")
    accessible(page)
    shop.power_cut()
    page.reload()
    expect(page.locator(".answer")).to_contain_text("GONE")
    slip = page.locator(".answer a").get_attribute("href")
    page.click("text=1 bag leaves")
    page.click("text=Yes, 1 bag has left")
    expect(page.locator(".list tbody tr")).to_have_count(2)
    expect(page.locator("main")).to_contain_text("1 ready: 303")
    left = shipping.list_shipments(house, odo, revision.label)[1]
    assert [[bag.id for bag in each] for _, each in left] == [[bags[1]], [bags[0]]]
    page.goto(shop.address + slip)
    expect(page.locator("main")).to_be_hidden(timeout=60_000)
    paper = page.request.get(shop.address + slip)
    printed = "".join(each.extract_text() for each in PdfReader(BytesIO(paper.body())).pages)
    assert (bags[1] in printed, bags[0] in printed) == (True, False)
    assert "Ada Ferris" in printed


def test_the_owners_day_from_a_dearer_price_sheet_to_an_approval(enter, shop, house):
    """Uploaded, looked over, loaded; what open quotes bear of it; a discount agreed to."""
    ines, odo = now("ines"), enter("odo")
    quoted = jobs.create_job(house, ines, jobs.NewJob("Curlew Court", "saltmarsh"))
    job_openings.add_openings(house, ines, quoted.label, [plain("1", 4)])
    quotes.issue_quote(house, ines, quoted.label)
    book = stored_with_cost(house.store, now("odo"), "tarrowby")
    rows = [
        f"{item.sku};{item.list_price.minor * 3 / 200:.2f};{item.cost.units * 3 / 20_000:.4f}"
        for item in book.catalog.items
    ]
    sheet = "\n".join(["SKU;List price;Cost", *rows]).encode()
    odo.goto(f"{shop.address}/catalogs/tarrowby/load")
    accessible(odo)
    odo.set_input_files(
        "[name=sheet]", {"name": "tarrowby.csv", "mimeType": "text/csv", "buffer": sheet}
    )
    odo.click("main section:first-child button.main")
    expect(odo.locator("main")).to_contain_text("Open quotes touched")
    expect(odo.locator("main")).to_contain_text(quoted.label)
    expect(odo.locator(".figures")).to_contain_text("+50.0 %")
    accessible(odo)
    shop.power_cut()
    odo.click("text=Load it")
    odo.wait_for_url("**/catalogs/tarrowby?loaded=1")
    expect(odo.locator(".answer.right")).to_contain_text("Loaded")
    # Confirmed, it outlives the server.
    shop.power_cut()
    again = stored_with_cost(house.store, now("odo"), "tarrowby")
    assert again.ref.revision == book.ref.revision + 1
    odo.click("nav >> text=Figures")
    odo.click("nav >> text=Rises")
    exposed = odo.locator("tr", has_text=quoted.label)
    expect(exposed.first).to_be_visible()
    odo.fill("[name=share]", "50%")
    odo.click("text=Try")
    expect(odo.locator("main")).to_contain_text("nothing was loaded")
    accessible(odo)
    # A discount that passes the counter's limit waits for the owner's word.
    counter = enter("ines")
    counter.goto(f"{shop.address}/jobs/{quoted.number}/terms")
    counter.fill("[name=share]", "40%")
    counter.fill("[name=reason][form=terms]", "large job")
    counter.click("text=Set it")
    counter.goto(f"{shop.address}/jobs/{quoted.number}/review")
    counter.click("main button.main")
    accessible(counter)
    odo.click("nav >> text=Waiting")
    odo.click("nav >> text=What is stuck")
    expect(odo.locator("main")).to_contain_text("Curlew Court")
    accessible(odo)
    odo.click("nav >> text=For your word")
    asked = odo.locator("article", has_text="Curlew Court")
    asked.locator("[name=reason]").fill("a customer of long standing")
    accessible(odo)
    shop.power_cut()
    asked.get_by_role("button", name="Agree").click()
    expect(odo.locator("main")).to_contain_text("Agreed")
    shop.power_cut()
    counter.goto(f"{shop.address}/jobs/{quoted.number}/review")
    counter.click("main button.main")
    expect(counter.locator("h1")).to_contain_text("/2")


@pytest.mark.parametrize(
    ("width", "scheme", "others"), [(1280, "light", (800,)), (390, "dark", ())]
)
def test_pages_are_fit_for_everybody_at_every_width(enter, shop, width, scheme, others):
    """axe looks at each page in each scheme, as wide as there is and as narrow."""
    page = enter("odo", width, color_scheme=scheme)
    for path in (*PAGES, "/jobs?text=nothing", "/jobs/99", "/margins?by=kit", "/rises?share=50%25",
                 "/catalogs/tarrowby?text=nothing", "/log?who=nobody"):  # fmt: skip
        page.goto(shop.address + path)
        accessible(page)
        for other in others:
            page.set_viewport_size({"width": other, "height": 900})
            fits(page)
        page.set_viewport_size({"width": width, "height": 900})


def test_the_counters_story_goes_without_script(enter, shop):
    page = enter("sam", java_script_enabled=False)
    page.goto(f"{shop.address}/jobs/new")
    page.fill("[name=name]", "Without script")
    page.select_option("[name=customer]", "saltmarsh")
    page.click("text=Begin the job")
    page.fill("#lines", "101 3070 hollow-metal/steel interior in LH accessible 689")
    page.click("text=Put in")
    assert re.search(r"/jobs/\d+#entry$", page.url)
    page.click("text=Or paste rows")
    page.fill("[name=rows]", "102\t3070\tHM\tHM\tINT\n")
    page.click("text=Look them over")
    page.click("text=Put 1 opening into the job")
    page.click(".openings >> text=102")
    page.select_option("[name=accessible]", "yes")
    page.click("text=Show what it would be")
    assert "accessible route" in page.locator("#trial").inner_text()
    page.click("text=Save")
    page.click(".titled a")
    page.click("text=Look over and issue")
    page.click("main button.main")
    assert "Q-0000" in page.locator("h1").inner_text()


def test_ctrl_c_ends_the_server_cleanly(shop):
    assert shop.stop() == 130, "as a shell has it"
    shop.start()
