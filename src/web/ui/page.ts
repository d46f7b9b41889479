// Every page works without this. It adds what paper cannot: answers that wait for the network, a board that moves, sliders that answer.

import { desk } from "./desk";
import { hold_to_each } from "./each";
import { live } from "./live";
import { tap_in_order } from "./order";
import { Phone } from "./queue";
import { find, look, send_file, tick } from "./small";

document.documentElement.classList.add("scripted");
const all = <E extends HTMLElement>(selector: string, what: (each: E) => void) => document.querySelectorAll<E>(selector).forEach(what);
all("[data-queue]", each => { new Phone(each); });
all("[data-live]", live);
all("[data-slip]", desk);
all("[data-look]", look);
all<HTMLInputElement>("[data-tick]", tick);
all<HTMLInputElement>("[data-find]", find);
all<HTMLInputElement>("[data-send]", send_file);
hold_to_each();
tap_in_order();
