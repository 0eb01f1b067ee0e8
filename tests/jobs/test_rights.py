"""Who may do and read what: every service against every role, and the table against both."""

import ast
import importlib
import inspect
import pkgutil
from collections.abc import Callable
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from tests.support.accounts import KEYS
from tests.support.fake_store import FakeStore
from tests.support.house import sample
from tests.support.jobs import a_job, by, desk_on, furnished, plain

from wholekit import services
from wholekit.domain.catalog.changes import catalog_changes
from wholekit.domain.catalog.price_sheet import PriceSheet
from wholekit.domain.catalog.rises import PriceRise, raised
from wholekit.domain.customers import Customer, PriceTier
from wholekit.domain.earnings import Key
from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.openings.sheet import SheetChoices
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes import Alternate, Job, Override, OverrideKind, Person, PersonRole, State
from wholekit.domain.quotes.bag_id import BagId
from wholekit.domain.quotes.roles import BY_NAME_ALONE, BY_NOBODY, RIGHTS, Action, may
from wholekit.domain.stock import slow_limits
from wholekit.domain.tax import LineKind, ShipTo
from wholekit.domain.working_days import Holiday
from wholekit.services import (
    accounts,
    allocating,
    approvals,
    bag_claims,
    bag_labels,
    buying,
    catalog_browse,
    catalog_loads,
    catalogs,
    choices,
    counts,
    customers,
    discount_report,
    goods_scans,
    holidays,
    house_log,
    job_history,
    job_lines,
    job_openings,
    job_previews,
    job_trials,
    job_view,
    jobs,
    lacks,
    margin_reports,
    orders,
    paper_queue,
    picks,
    price_sheets,
    questions,
    quote_comparison,
    quote_drafts,
    quote_papers,
    quote_reading,
    quote_sendings,
    quotes,
    quotes_touched,
    receiving,
    remedies,
    rises,
    sheets,
    shipping,
    shorts,
    stock,
    stock_returns,
    stock_slow,
    stock_value,
    store_copies,
    stuck,
    substitutions,
    unpacking,
    waves,
)
from wholekit.services.desk import Deed
from wholekit.services.order_port import OrderFilter
from wholekit.services.ports import JobFilter, LogFilter, Page, RevisionFilter
from wholekit.services.purchase_port import PurchaseFilter
from wholekit.services.receiving import ToldDelivery
from wholekit.services.rights import ASKED
from wholekit.services.stock import ToldItem, ToldPlace
from wholekit.services.stock_port import Branch, StockFilter
from wholekit.wording.errors import say_error
from wholekit.wording.job_sentences import RIGHTS_SAID

# What lets somebody in, before anybody can ask by name, and what reads nothing by itself: each
# service that is given the view asks.
DOOR = {
    "wholekit.services.one_view.one_view",
    *(
        f"wholekit.services.accounts.{name}"
        for name in ("has_accounts", "seated", "sign_in", "sign_out")
    ),
}
NAMES = {"counter": "ines", "sales": "sam", "picker": "pia", "owner": "odo"}
HALF = PriceTier(Fraction(1, 2))
PRICE = Override(OverrideKind.PRICE, "agreed", "", by().at, price=Money(30_000, "USD"))
SIZE = Override(OverrideKind.SIZE, "strong wind", "", by().at, size=6)
USD = Money(100_000, "USD")
SELLERS, EVERYBODY = "counter sales owner", "counter sales picker owner"
PICK_ROOM = "picker owner"
BODY = ToldItem(sample("tarrowby").items[0].sku)
BIN = ToldPlace(bin="A-99")
BACK = stock_returns.ToldReturn(BODY, 1, stock_returns.ReturnWay.SCRAP, BIN, "bent")
SIX = PriceRise(Fraction(6, 100), by().day)
_AFTER = raised(sample("tarrowby"), SIX)
DEARER = catalog_loads.Plan(_AFTER, 1, catalog_changes(sample("tarrowby"), _AFTER))
# Opening 101 has no stop, and the pick room has no order: who may is told so.
NOTHING_THERE = (
    "account-needed", "asked-paper-unknown", "price-sheet-none", "rise-unknown",
    "purchase-unknown", "stop-unknown", "order-unknown", "shipment-unknown", "bag-unknown",
    "wave-unknown", "wave-nothing-ready", "release-not-accepted")  # fmt: skip
BAG = str(BagId(1, 1, 1, 1))
# What is called, and the roles that may; written out here, not read from the table under test.
CALLS: dict[str, tuple[Callable[[Any, Any], Any], str]] = {
    "accounts.give_account": (
        lambda d, w: accounts.give_account(d, w, KEYS, "ines"), "owner"),
    "accounts.change_password": (
        lambda d, w: accounts.change_password(d, w, KEYS, "old", "new"), EVERYBODY),
    "accounts.set_codes": (lambda d, w: accounts.set_codes(d, w, KEYS, "old"), EVERYBODY),
    "accounts.asks_codes": (lambda d, w: accounts.asks_codes(d, w), EVERYBODY),
    "accounts.end_codes": (lambda d, w: accounts.end_codes(d, w, "ines"), "owner"),
    "accounts.coded_names": (lambda d, w: accounts.coded_names(d, w), EVERYBODY),
    "accounts.give_token": (
        lambda d, w: accounts.give_token(d, w, KEYS, "ines", "scanner", 9), "owner"),
    "accounts.end_account": (lambda d, w: accounts.end_account(d, w, "ines"), "owner"),
    "accounts.end_seats": (lambda d, w: accounts.end_seats(d, w, "ines"), "owner"),
    "accounts.account_names": (lambda d, w: accounts.account_names(d, w), EVERYBODY),
    "job_previews.preview_openings": (
        lambda d, w: job_previews.preview_openings(d, w, "1", [plain("9")]), SELLERS),
    "catalogs.list_catalogs": (lambda d, w: catalogs.list_catalogs(d.store, w), EVERYBODY),
    "catalogs.stored_catalog": (
        lambda d, w: catalogs.stored_catalog(d.store, w, "tarrowby"), EVERYBODY),
    "catalogs.stored_bodies": (lambda d, w: catalogs.stored_bodies(d.store, w), EVERYBODY),
    "catalogs.newest_catalogs": (lambda d, w: catalogs.newest_catalogs(d.store, w), SELLERS),
    "catalogs.stored_with_cost": (
        lambda d, w: catalogs.stored_with_cost(d.store, w, "tarrowby"), "owner"),
    "house_log.house_log": (
        lambda d, w: house_log.house_log(d, w, LogFilter(), Page()), "owner"),
    "discount_report.discount_report": (
        lambda d, w: discount_report.discount_report(d, w, RevisionFilter(), "USD"), "owner"),
    "catalogs.stored_with_prices": (
        lambda d, w: catalogs.stored_with_prices(d.store, w, "tarrowby"), SELLERS),
    "catalog_browse.browse": (
        lambda d, w: catalog_browse.browse(d.store, w, "tarrowby"), EVERYBODY),
    "catalog_browse.browse_item": (
        lambda d, w: catalog_browse.browse_item(d.store, w, "tarrowby", "TG-B1"), EVERYBODY),
    "catalog_browse.browse_with_cost": (
        lambda d, w: catalog_browse.browse_with_cost(d.store, w, "tarrowby"), "owner"),
    "catalog_loads.plan_loads": (
        lambda d, w: catalog_loads.plan_loads(d.store, w, []), "owner"),
    "catalog_loads.load": (lambda d, w: catalog_loads.load(d.store, w, []), "owner"),
    "catalog_loads.plan_sheet": (
        lambda d, w: catalog_loads.plan_sheet(d.store, w, sample("tarrowby"), PriceSheet()),
        "owner"),
    "catalog_loads.plan_rise": (
        lambda d, w: catalog_loads.plan_rise(d.store, w, "tarrowby", SIX), "owner"),
    "catalog_loads.load_shown": (
        lambda d, w: catalog_loads.load_shown(d.store, w, DEARER, DEARER.seal), "owner"),
    "price_sheets.kept_price_sheet": (
        lambda d, w: price_sheets.kept_price_sheet(d.store, w, "tarrowby"), "owner"),
    "price_sheets.clear_price_sheet": (
        lambda d, w: price_sheets.clear_price_sheet(d.store, w, "tarrowby"), "owner"),
    "quotes_touched.quotes_touched": (
        lambda d, w: quotes_touched.quotes_touched(d, w, DEARER.changes), "owner"),
    "rises.planned_rises": (lambda d, w: rises.planned_rises(d.store, w), "owner"),
    "rises.planned_like": (lambda d, w: rises.planned_like(d.store, w, "tarrowby", SIX), "owner"),
    "rises.note_rise": (lambda d, w: rises.note_rise(d, w, "tarrowby", SIX), "owner"),
    "rises.drop_rise": (lambda d, w: rises.drop_rise(d.store, w, "1"), "owner"),
    "choices.job_choices": (lambda d, w: choices.job_choices(d, w, "1", ["101"]), SELLERS),
    "choices.job_sums": (lambda d, w: choices.job_sums(d, w, "1"), SELLERS),
    "choices.choose": (
        lambda d, w: choices.choose(
            d, w, "1", ["101"], "next-size", into=choices.Where("good", "Good")),
        SELLERS),
    "questions.job_questions": (lambda d, w: questions.job_questions(d, w, "1"), SELLERS),
    "questions.answer_openings": (
        lambda d, w: questions.answer_openings(
            d, w, "1", [questions.GivenAnswer([], lambda o: replace(o, note="lift"))]),
        SELLERS),
    "customers.add_customer": (
        lambda d, w: customers.add_customer(d, w, Customer("new", "New")), SELLERS),
    "customers.edit_customer": (
        lambda d, w: customers.edit_customer(d, w, "saltmarsh", lambda c: replace(c, note="x")),
        SELLERS),
    "customers.set_tier": (lambda d, w: customers.set_tier(d, w, "saltmarsh", HALF), "sales owner"),
    "customers.end_tier": (
        lambda d, w: customers.end_tier(d, w, "saltmarsh", 1, date(2027, 1, 1)), "sales owner"),
    "customers.agree_terms": (lambda d, w: customers.agree_terms(d, w, "saltmarsh", "so"), "owner"),
    "customers.customer_history": (
        lambda d, w: customers.customer_history(d, w, "saltmarsh"), SELLERS),
    "customers.catalogs_there": (customers.catalogs_there, EVERYBODY),
    "customers.customer_of": (lambda d, w: customers.customer_of(d, w, "saltmarsh"), SELLERS),
    "customers.list_customers": (lambda d, w: customers.list_customers(d, w, "", Page()), SELLERS),
    "sheets.kept_sheet": (lambda d, w: sheets.kept_sheet(d, w, "saltmarsh"), SELLERS),
    "sheets.kept_choices": (lambda d, w: sheets.kept_choices(d, w, "saltmarsh"), SELLERS),
    "sheets.keep_choices": (
        lambda d, w: sheets.keep_choices(d, w, "saltmarsh", SheetChoices("Doors")), SELLERS),
    "sheets.clear_choices": (lambda d, w: sheets.clear_choices(d, w, "saltmarsh"), SELLERS),
    "customers.set_ship_to": (
        lambda d, w: customers.set_ship_to(d, w, ShipTo("port", "Port")), SELLERS),
    "customers.list_ship_tos": (customers.list_ship_tos, SELLERS),
    "customers.set_person": (
        lambda d, w: customers.set_person(d, w, Person("eve", PersonRole.SALES)), "owner"),
    "customers.list_people": (customers.list_people, EVERYBODY),
    "customers.house_policy": (customers.house_policy, "owner"),
    "holidays.list_holidays": (holidays.list_holidays, EVERYBODY),
    "holidays.add_holiday": (
        lambda d, w: holidays.add_holiday(d, w, Holiday(date(2026, 12, 24), "Eve")), "owner"),
    "holidays.remove_holiday": (
        lambda d, w: holidays.remove_holiday(d, w, Holiday(date(2026, 12, 25), "")), "owner"),
    "orders.release_order": (
        lambda d, w: orders.release_order(d, w, "Q-1", orders.ToldRelease()), SELLERS),
    "orders.cancel_order": (lambda d, w: orders.cancel_order(d, w, "Q-1", "stop"), SELLERS),
    "orders.list_orders": (lambda d, w: orders.list_orders(d, w, OrderFilter(), Page()), EVERYBODY),
    "orders.show_order": (lambda d, w: orders.show_order(d, w, "Q-1"), EVERYBODY),
    "allocating.allocate_stock": (lambda d, w: allocating.allocate_stock(d, w), PICK_ROOM),
    "allocating.take_promise": (
        lambda d, w: allocating.take_promise(d, w, BAG, BAG, "burst pipe"), "owner"),
    "waves.open_wave": (lambda d, w: waves.open_wave(d, w), PICK_ROOM),
    "waves.wave_shown": (lambda d, w: waves.wave_shown(d, w, 1), EVERYBODY),
    "waves.end_wave": (lambda d, w: waves.end_wave(d, w, 1), PICK_ROOM),
    "waves.waves_under_way": (lambda d, w: waves.waves_under_way(d, w), EVERYBODY),
    "waves.find_bag": (lambda d, w: waves.find_bag(d, w, BAG), EVERYBODY),
    "shorts.short_bin": (lambda d, w: shorts.short_bin(d, w, BAG, "X"), EVERYBODY),
    "waves.equal_bags_of": (lambda d, w: waves.equal_bags_of(d, w, ()), EVERYBODY),
    "lacks.waiting_bags": (lacks.waiting_bags, EVERYBODY),
    "lacks.bag_waits": (lambda d, w: lacks.bag_waits(d, w, BAG), EVERYBODY),
    "orders.list_bags": (lambda d, w: orders.list_bags(d, w, "", (), Page()), EVERYBODY),
    "waves.bags_left": (lambda d, w: waves.bags_left(d, w), EVERYBODY),
    "picks.scan": (lambda d, w: picks.scan(d, w, 1, BAG), PICK_ROOM),
    "picks.undo_last": (lambda d, w: picks.undo_last(d, w, BAG), PICK_ROOM),
    "shorts.tell_short": (lambda d, w: shorts.tell_short(d, w, BAG, "X", 1), PICK_ROOM),
    "picks.leave_bag": (lambda d, w: picks.leave_bag(d, w, BAG), PICK_ROOM),
    "substitutions.substitutes_for": (
        lambda d, w: substitutions.substitutes_for(d, w, BAG, "X"), EVERYBODY),
    "substitutions.substitute_item": (
        lambda d, w: substitutions.substitute_item(d, w, BAG, "X", "Y", "none left"), PICK_ROOM),
    "picks.close_bag": (lambda d, w: picks.close_bag(d, w, BAG), PICK_ROOM),
    "picks.left_over": (lambda d, w: picks.left_over(d, w, BAG), EVERYBODY),
    "unpacking.unpack_bag": (lambda d, w: unpacking.unpack_bag(d, w, BAG, "amiss"), PICK_ROOM),
    "bag_claims.bag_claim": (lambda d, w: bag_claims.bag_claim(d, w, BAG), EVERYBODY),
    "picks.bag_shown": (lambda d, w: picks.bag_shown(d, w, BAG), EVERYBODY),
    "shipping.ship_bags": (lambda d, w: shipping.ship_bags(d, w, "Q-1"), PICK_ROOM),
    "shipping.shipment_shown": (lambda d, w: shipping.shipment_shown(d, w, "S-1"), EVERYBODY),
    "shipping.list_shipments": (lambda d, w: shipping.list_shipments(d, w, "Q-1"), EVERYBODY),
    "shipping.orders_to_ship": (shipping.orders_to_ship, EVERYBODY),
    "shipping.order_leaving": (lambda d, w: shipping.order_leaving(d, w, "Q-1"), EVERYBODY),
    "shipping.closed_bag": (lambda d, w: shipping.closed_bag(d, w, BAG), EVERYBODY),
    "bag_labels.bags_labelled": (
        lambda d, w: bag_labels.bags_labelled(d, w, f"{BAG} a6"), EVERYBODY),
    "stuck.what_is_stuck": (stuck.what_is_stuck, "owner"),
    "stock.list_stock": (lambda d, w: stock.list_stock(d, w, StockFilter(), Page()), EVERYBODY),
    "stock.show_stock": (lambda d, w: stock.show_stock(d, w, BODY), EVERYBODY),
    "stock.stock_history": (lambda d, w: stock.stock_history(d, w, BODY, Page()), EVERYBODY),
    "stock.list_branches": (stock.list_branches, EVERYBODY),
    "stock.add_branch": (lambda d, w: stock.add_branch(d, w, Branch("north", "North")), "owner"),
    "stock.receive_stock": (lambda d, w: stock.receive_stock(d, w, BODY, 1, BIN), PICK_ROOM),
    "buying.buy_list": (buying.buy_list, "owner"),
    "buying.place_orders": (buying.place_orders, "owner"),
    "buying.send_order": (lambda d, w: buying.send_order(d, w, "P-1"), "owner"),
    "buying.cancel_order": (lambda d, w: buying.cancel_order(d, w, "P-1"), "owner"),
    "buying.show_order": (lambda d, w: buying.show_order(d, w, "P-1"), "owner"),
    "buying.list_orders": (
        lambda d, w: buying.list_orders(d, w, PurchaseFilter(), Page()), "owner"),
    "receiving.expected_deliveries": (receiving.expected_deliveries, EVERYBODY),
    "receiving.expected_delivery": (
        lambda d, w: receiving.expected_delivery(d, w, "P-1"), EVERYBODY),
    "goods_scans.scan_goods": (
        lambda d, w: goods_scans.scan_goods(d, w, "P-1", "X", ToldDelivery(())), PICK_ROOM),
    "goods_scans.undo_goods": (lambda d, w: goods_scans.undo_goods(d, w, "P-1"), PICK_ROOM),
    "goods_scans.end_delivery": (
        lambda d, w: goods_scans.end_delivery(d, w, "P-1", ToldDelivery(())), PICK_ROOM),
    "receiving.receive_delivery": (
        lambda d, w: receiving.receive_delivery(d, w, "P-1", ToldDelivery(())), PICK_ROOM),
    "stock.move_stock": (
        lambda d, w: stock.move_stock(d, w, BODY, 1, ToldPlace(), BIN), PICK_ROOM),
    "stock.adjust_stock": (
        lambda d, w: stock.adjust_stock(d, w, BODY, 1, BIN, "found"), PICK_ROOM),
    "stock.scrap_stock": (
        lambda d, w: stock.scrap_stock(d, w, BODY, 1, ToldPlace(), "bent"), PICK_ROOM),
    "stock_returns.return_stock": (
        lambda d, w: stock_returns.return_stock(d, w, BACK, BAG), PICK_ROOM),
    "stock_returns.return_unnamed": (
        lambda d, w: stock_returns.return_unnamed(d, w, BACK), "owner"),
    "counts.count_sheet": (lambda d, w: counts.count_sheet(d, w, counts.CountWhere()), EVERYBODY),
    "counts.enter_count": (
        lambda d, w: counts.enter_count(
            d, w, counts.CountEntry((counts.CountedItem(BODY, "Z-9", 2),))), PICK_ROOM),
    "stock_slow.slow_stock": (
        lambda d, w: stock_slow.slow_stock(d, w, slow_limits(d.rules)), EVERYBODY),
    "stock_value.stock_on": (
        lambda d, w: stock_value.stock_on(d, w, date(2026, 12, 24)), "owner"),
    "stock_value.item_costs": (stock_value.item_costs, "owner"),
    "customers.house_history": (customers.house_history, "owner"),
    "customers.set_policy": (
        lambda d, w: customers.set_policy(d, w, lambda old: replace(old, valid_days=9)), "owner"),
    "job_history.job_events": (lambda d, w: job_history.job_events(d, w, "1"), SELLERS),
    "job_lines.add_extra": (
        lambda d, w: job_lines.add_extra(d, w, "1", job_lines.NewExtra(LineKind.OTHER, "Van")),
        SELLERS),
    "job_lines.edit_extra": (
        lambda d, w: job_lines.edit_extra(d, w, "1", 1, {"quantity": 2}), SELLERS),
    "job_lines.remove_extra": (lambda d, w: job_lines.remove_extra(d, w, "1", 1), SELLERS),
    "job_openings.add_openings": (
        lambda d, w: job_openings.add_openings(d, w, "1", [plain("9")]), SELLERS),
    "job_openings.edit_opening": (
        lambda d, w: job_openings.edit_opening(d, w, "1", "101", lambda old: plain("101", 3)),
        SELLERS),
    "job_openings.edit_openings": (
        lambda d, w: job_openings.edit_openings(d, w, "1", ["101"], lambda old: plain("101", 3)),
        SELLERS),
    "job_trials.opening_worked": (
        lambda d, w: job_trials.opening_worked(d, w, "1", "101"), SELLERS),
    "job_trials.try_opening": (
        lambda d, w: job_trials.try_opening(d, w, "1", "101", lambda old: old), SELLERS),
    "remedies.opening_ways": (
        lambda d, w: remedies.opening_ways(d, w, "1", "101", lambda *_: lambda old: old), SELLERS),
    "job_trials.try_openings": (
        lambda d, w: job_trials.try_openings(d, w, "1", ["101"], lambda old: old), SELLERS),
    "job_openings.remove_openings": (
        lambda d, w: job_openings.remove_openings(d, w, "1", ["101"]), SELLERS),
    "job_openings.remove_opening": (
        lambda d, w: job_openings.remove_opening(d, w, "1", "101"), SELLERS),
    "job_openings.copy_opening": (
        lambda d, w: job_openings.copy_opening(d, w, "1", "101", ["102"]), SELLERS),
    "job_openings.split_opening": (
        lambda d, w: job_openings.split_opening(d, w, "1", "101", "102", 1), SELLERS),
    "job_openings.override_opening": (
        lambda d, w: job_openings.override_opening(d, w, "1", "101", PRICE), SELLERS),
    "job_openings.clear_override": (
        lambda d, w: job_openings.clear_override(d, w, "1", "101", OverrideKind.PRICE), SELLERS),
    "job_openings.release_stop": (
        lambda d, w: job_openings.release_stop(d, w, "1", "101", "x", "why"), SELLERS),
    "job_view.view_job": (lambda d, w: job_view.view_job(d, w, "1"), SELLERS),
    "jobs.create_job": (
        lambda d, w: jobs.create_job(d, w, jobs.NewJob("X", "saltmarsh")), SELLERS),
    "jobs.edit_job": (lambda d, w: jobs.edit_job(d, w, "1", {"name": "Y"}), SELLERS),
    "jobs.set_discount": (
        lambda d, w: jobs.set_discount(d, w, "1", Fraction(1, 50), "why"), SELLERS),
    "jobs.set_alternate": (
        lambda d, w: jobs.set_alternate(d, w, "1", Alternate("a", "A")), SELLERS),
    "jobs.remove_alternate": (lambda d, w: jobs.remove_alternate(d, w, "1", "alt-1"), SELLERS),
    "jobs.reprice_job": (lambda d, w: jobs.reprice_job(d, w, "1"), SELLERS),
    "jobs.job_header": (lambda d, w: jobs.job_header(d, w, "1"), SELLERS),
    "jobs.job_contents": (lambda d, w: jobs.job_contents(d, w, "1"), SELLERS),
    "jobs.list_jobs": (lambda d, w: jobs.list_jobs(d, w, JobFilter(), Page()), SELLERS),
    "margin_reports.margin_report": (
        lambda d, w: margin_reports.margin_report(d, w, Key.JOB, RevisionFilter(), "USD"), "owner"),
    "margin_reports.job_margins": (
        lambda d, w: margin_reports.job_margins(d, w, "1", Key.JOB), "owner"),
    "margin_reports.cost_drift": (margin_reports.cost_drift, "owner"),
    "margin_reports.win_report": (
        lambda d, w: margin_reports.win_report(d, w, RevisionFilter(), "USD"), "owner"),
    "margin_reports.what_if_price": (
        lambda d, w: margin_reports.what_if_price(d, w, "1", USD), "owner"),
    "margin_reports.what_if_net": (
        lambda d, w: margin_reports.what_if_net(d, w, "1", USD), "owner"),
    "margin_reports.what_if_margin": (
        lambda d, w: margin_reports.what_if_margin(d, w, "1", Fraction(1, 3)), "owner"),
    "margin_reports.what_if_supplier": (
        lambda d, w: margin_reports.what_if_supplier(d, w, "1", "tarrowby"), "owner"),
    "quote_comparison.compare_quotes": (
        lambda d, w: quote_comparison.compare_quotes(d, w, "Q-1", "Q-1"), SELLERS),
    "quote_comparison.compare_draft": (
        lambda d, w: quote_comparison.compare_draft(d, w, "1"), SELLERS),
    "quote_papers.revision_shown": (
        lambda d, w: quote_papers.revision_shown(d, w, "Q-1"), SELLERS),
    "quote_papers.order_shown": (lambda d, w: quote_papers.order_shown(d, w, "Q-1"), EVERYBODY),
    "quote_papers.sheet_shown": (lambda d, w: quote_papers.sheet_shown(d, w, "Q-1"), "owner"),
    "quote_papers.as_it_stands": (lambda d, w: quote_papers.as_it_stands(d, w, "1"), SELLERS),
    "paper_queue.ask_papers": (
        lambda d, w: paper_queue.ask_papers(d, w, "Q-1", ["pick-list"], "en", ""), EVERYBODY),
    "paper_queue.asked_paper": (lambda d, w: paper_queue.asked_paper(d, w, 1), EVERYBODY),
    "paper_queue.asked_papers": (lambda d, w: paper_queue.asked_papers(d, w), EVERYBODY),
    "paper_queue.make_again": (lambda d, w: paper_queue.make_again(d, w, 1), EVERYBODY),
    "quote_drafts.draft_quote": (lambda d, w: quote_drafts.draft_quote(d, w, "1"), SELLERS),
    "quote_drafts.edit_draft": (
        lambda d, w: quote_drafts.edit_draft(d, w, "2", cover_note="x"), SELLERS),
    "quote_drafts.discard_draft": (lambda d, w: quote_drafts.discard_draft(d, w, "2"), SELLERS),
    "approvals.review_job": (lambda d, w: approvals.review_job(d, w, "1"), SELLERS),
    "approvals.asked_of_owner": (lambda d, w: approvals.asked_of_owner(d, w), SELLERS),
    "approvals.approve_draft": (lambda d, w: approvals.approve_draft(d, w, "2", "so"), "owner"),
    "approvals.refuse_request": (lambda d, w: approvals.refuse_request(d, w, "2", "no"), "owner"),
    "approvals.waiting_requests": (approvals.waiting_requests, "owner"),
    "quotes.issue_quote": (lambda d, w: quotes.issue_quote(d, w, "2"), SELLERS),
    "quote_sendings.record_sending": (
        lambda d, w: quote_sendings.record_sending(d, w, "Q-1", ["a@b.example"]), SELLERS),
    "quotes.close_quote": (
        lambda d, w: quotes.close_quote(d, w, "Q-1", State.ACCEPTED), SELLERS),
    "quotes.expire_quotes": (quotes.expire_quotes, SELLERS),
    "quote_reading.quote_revisions": (
        lambda d, w: quote_reading.quote_revisions(d, w, "1"), SELLERS),
    "quote_reading.issued_revision": (
        lambda d, w: quote_reading.issued_revision(d, w, "Q-1"), SELLERS),
    "quote_reading.issued_whole": (lambda d, w: quote_reading.issued_whole(d, w, "Q-1"), "owner"),
}  # fmt: skip


def read_of(desk):
    with desk.store.reading() as uow:
        return uow


# What else is asked for within a function, by what it is told.
WITHIN = {
    "a new customer below list": (
        lambda d, w: customers.add_customer(d, w, Customer("new", "New", tiers=(HALF,))),
        "sales owner"),
    "a customer's multiplier": (
        lambda d, w: customers.edit_customer(
            d, w, "saltmarsh", lambda c: replace(c, multiplier=Fraction(1, 2))),
        "sales owner"),
    "a customer's tiers": (
        lambda d, w: customers.edit_customer(d, w, "saltmarsh", lambda c: c.with_tier(HALF)),
        "sales owner"),
    "a copy of the store": (
        lambda d, w: store_copies.allow_copy(read_of(d), w), "owner"),
    "a size by hand": (
        lambda d, w: job_openings.override_opening(d, w, "1", "101", SIZE), SELLERS),
}  # fmt: skip
MATRIX = [
    pytest.param(call, role, role in roles.split(), id=f"{name}-{role}")
    for name, (call, roles) in {**CALLS, **WITHIN}.items()
    for role in NAMES
]


@pytest.fixture(scope="module")
def worked():
    """One of each role; job 1 issued as Q-1 with hand, alternate and line; job 2 waits."""
    made = furnished(FakeStore())
    customers.set_person(made, by("odo"), Person("sam", PersonRole.SALES))
    customers.set_person(made, by("odo"), Person("pia", PersonRole.PICKER))
    customers.set_tier(made, by("odo"), "saltmarsh", PriceTier(Fraction(3, 5), kind="cover"))
    holidays.add_holiday(made, by("odo"), Holiday(date(2026, 12, 25), "Christmas Day"))
    job = a_job(made)
    job_openings.add_openings(made, by(), job.label, [plain("101", 2)])
    job_openings.override_opening(made, by(), job.label, "101", PRICE)
    jobs.set_alternate(made, by(), job.label, Alternate("alt-1", "Bronze"))
    van = job_lines.NewExtra(LineKind.OTHER, "Van", 1, USD, Cost(500_000, "USD"))
    job_lines.add_extra(made, by(), job.label, van)
    assert quotes.issue_quote(made, by("odo"), job.label).revision is not None
    low = a_job(made, "201")
    jobs.set_discount(made, by(), low.label, Fraction(30, 100), "large job")
    assert quotes.issue_quote(made, by(), low.label).revision is None
    return made


@pytest.fixture
def desk(worked):
    """A desk over a copy of that."""
    return replace(worked, store=worked.store.copied(), ids=worked.ids.copied())


def state(desk):
    with desk.store.reading() as uow:
        return uow.state


def outcome(call, desk, deed):
    """The code of what went wrong, empty if nothing did."""
    try:
        call(desk, deed)
    except WholekitError as error:
        return error.code
    return ""


@pytest.mark.parametrize(("call", "role", "allowed"), MATRIX)
def test_each_role_may_do_and_read_what_is_its_own(desk, call, role, allowed):
    before = state(desk)
    if allowed:
        assert outcome(call, desk, by(NAMES[role])) in ("", *NOTHING_THERE)
        return
    with pytest.raises(CallError) as refused:
        call(desk, by(NAMES[role]))
    assert refused.value.code in ("owner-needed", "right-needed")
    assert NAMES[role] in say_error(refused.value)
    assert state(desk) == before, "what was refused changed something"


@pytest.mark.parametrize("name", sorted(CALLS))
def test_a_name_that_the_house_does_not_know_does_and_reads_nothing(desk, name):
    before = state(desk)
    with pytest.raises(CallError) as refused:
        CALLS[name][0](desk, by("carl"))
    assert refused.value.code == "person-unknown"
    assert "The house knows nobody named carl who could" in say_error(refused.value)
    assert "it knows ines, odo, pia and sam" in say_error(refused.value)
    assert state(desk) == before


@pytest.mark.parametrize(
    "name",
    [
        "catalogs.stored_with_cost",
        "customers.house_policy",
        "margin_reports.margin_report",
        "margin_reports.cost_drift",
        "quote_papers.sheet_shown",
        "quote_reading.issued_whole",
        "approvals.waiting_requests",
    ],
)
def test_nobody_reads_cost_on_the_name_of_the_machine_alone(desk, name):
    with pytest.raises(CallError) as refused:
        CALLS[name][0](desk, replace(by("odo"), named=False))
    assert refused.value.code == "name-asked"


@pytest.mark.parametrize("name", sorted(CALLS))
def test_who_says_no_name_reads_what_holds_no_cost_and_changes_nothing(desk, name):
    before = state(desk)
    code = outcome(CALLS[name][0], desk, Deed("root", by().at, named=False))
    action = next(found for full, found in ASKED.items() if full.endswith(f".{name}"))
    if action in BY_NOBODY:
        assert code in ("", *NOTHING_THERE)
    else:
        assert code in ("person-unknown", "name-asked")
    assert state(desk) == before


class Demoting(FakeStore):
    """A store in which whoever is about to write has got another role."""

    def __init__(self, state, who, role):
        super().__init__()
        self._state, self.who, self.role, self.writes = state, who, role, 0

    @contextmanager
    def writing(self):
        with super().writing() as uow:
            old = uow.people.get(self.who)
            uow.people.save(Person(self.who, self.role, "", old.version + 1), old.version)
            self.writes += 1
            yield uow


# Nobody can lose the right to their own account.
CAN_BE_LOST = sorted(name for name, (_, roles) in CALLS.items() if roles != EVERYBODY)


@pytest.mark.parametrize("name", CAN_BE_LOST)
def test_every_service_that_writes_asks_again_in_the_transaction(desk, name):
    call, roles = CALLS[name]
    who = NAMES[roles.split()[0]]
    lost = PersonRole.COUNTER if roles == PICK_ROOM else PersonRole.PICKER
    store = Demoting(state(desk), who, lost)
    before = state(desk)
    code = outcome(call, replace(desk, store=store), by(who))
    action = next(found for full, found in ASKED.items() if full.endswith(f".{name}"))
    writes = not action.value.startswith("see-") and not name.startswith(
        ("catalog_loads.plan_", "price_sheets.kept_", "rises.planned_")
    )
    assert bool(store.writes) == writes
    if writes:
        assert code in ("right-needed", "owner-needed")
    assert state(replace(desk, store=store)) == before


def test_nothing_that_changes_or_tells_cost_is_open_to_nobody():
    assert {one.value.partition("-")[0] for one in BY_NOBODY} == {"see"}
    assert not BY_NOBODY & BY_NAME_ALONE


def test_a_house_without_people_takes_any_name_and_lets_it_read_all():
    desk = desk_on(FakeStore())
    anybody = Deed("carl", by().at, named=False)
    customers.add_customer(desk, anybody, Customer("saltmarsh", "Salt", multiplier=Fraction(1, 2)))
    made = jobs.create_job(desk, anybody, jobs.NewJob("X", "saltmarsh"))
    assert isinstance(made, Job)
    assert made.created_by == "carl"
    assert margin_reports.cost_drift(desk, anybody) == ()
    assert customers.house_policy(desk, anybody).version == 1


def functions():
    """Every public function of the services that is given a desk or a store."""
    names = [f"wholekit.services.{each.name}" for each in pkgutil.iter_modules(services.__path__)]
    for name in names:
        module = importlib.import_module(name)
        for called, function in inspect.getmembers(module, inspect.isfunction):
            if function.__module__ != name or called.startswith("_"):
                continue
            first = next(iter(inspect.signature(function).parameters.values()), None)
            if first is not None and first.annotation is not inspect.Parameter.empty:
                kind = getattr(first.annotation, "__name__", str(first.annotation))
                if kind in ("Desk", "Store"):
                    yield f"{name}.{called}"


def test_every_service_that_reads_or_writes_asks_and_is_called_above():
    found = set(functions()) - DOOR
    assert found == set(ASKED), found ^ set(ASKED)
    assert {name.split(".", 2)[2] for name in found} == set(CALLS)


def test_the_table_has_a_row_for_every_action_and_every_row_is_asked_for():
    within = set()
    for file in Path(services.__path__[0]).glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "need_right":
                action = node.args[2]
                if isinstance(action, ast.Attribute) and ast.unparse(action.value) == "Action":
                    within.add(Action[action.attr])
    assert set(ASKED.values()) | within == set(Action) == set(RIGHTS) == set(RIGHTS_SAID)
    assert set(BY_NAME_ALONE) <= set(RIGHTS)


def test_what_the_table_does_not_name_nobody_may(monkeypatch):
    monkeypatch.delitem(RIGHTS, Action.SEE_JOBS)
    assert not any(may(role, Action.SEE_JOBS) for role in PersonRole)
