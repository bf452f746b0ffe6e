import { useSignalEffect } from "@preact/signals";
import type { JSX } from "preact";
import { picture, pictureOld } from "../../client/picture-store.ts";
import { type Route, route } from "../../client/route.ts";
import { may, session } from "../../client/session.ts";
import { handledFlags } from "../../model/flag-words.ts";
import { BenchPage } from "../bench/bench-page.tsx";
import { HandPage } from "../by-hand/hand-page.tsx";
import { FlagsPage } from "../flags/flags-page.tsx";
import { FloorPage } from "../floor/floor-page.tsx";
import { InstrumentsPage } from "../instruments/instruments-page.tsx";
import { LimitsPage } from "../limits/limits-page.tsx";
import { MessagesPage } from "../messages/messages-page.tsx";
import { AccountPage } from "../people/account-page.tsx";
import { DisplayPage } from "../people/display-page.tsx";
import { PeoplePage } from "../people/people-page.tsx";
import { RecordPage } from "../people/record-page.tsx";
import { SignInPage } from "../people/sign-in-page.tsx";
import { WelcomePage } from "../people/welcome-page.tsx";
import { PlanPage } from "../plan/plan-page.tsx";
import { RunPage } from "../run/run-page.tsx";
import { SetUpPage } from "../set-up/set-up-page.tsx";
import { Announcements } from "./announcements.tsx";
import { Footer } from "./footer.tsx";
import { Header } from "./header.tsx";
import { OldPicture } from "./old-picture.tsx";
import { WaitingFor } from "./waiting-for.tsx";

/** The frame round every page, and the page that the address names. */
export function App(): JSX.Element {
  useSignalEffect(() => {
    document.body.dataset["picture"] = picture.value === null ? "loading" : pictureOld.value ? "old" : "live";
  });
  useSignalEffect(() => {
    const flags = handledFlags(picture.value?.floor.flags ?? []);
    const waiting = flags.filter((flag) => flag.state === "waiting").length;
    document.title = `${waiting > 0 ? `${waiting} waiting · ` : ""}${pageTitle(route.value)} · Steadypour`;
  });
  const { page } = route.value;
  return (
    <>
      <a class="skip" href="#main">
        Skip to the page
      </a>
      <Header />
      <main id="main" tabIndex={-1} class={`page-${page}`}>
        <Page route={route.value} />
      </main>
      <Footer />
      <OldPicture />
      <Announcements />
    </>
  );
}

function Page({ route: here }: { readonly route: Route }): JSX.Element {
  if (here.page === "welcome") return <WelcomePage />;
  if (here.page === "display") return <DisplayPage />;
  if (session.value === null) return <WaitingFor what="Steadypour" />;
  if (here.page === "sign-in") return <SignInPage search={here.search} />;
  if (!may("read")) return <SignInPage search={`?to=${encodeURIComponent(location.pathname + location.search)}`} />;
  if (here.page === "record") return <RecordPage search={here.search} />;
  if (here.page === "people") return <PeoplePage />;
  if (here.page === "account") return <AccountPage />;
  if (here.page === "floor") return <FloorPage />;
  if (here.page === "flags") return <FlagsPage />;
  if (here.page === "bench") return <BenchPage id={here.id} search={here.search} />;
  if (here.page === "limits") return <LimitsPage search={here.search} />;
  if (here.page === "by-hand") return <HandPage station={here.station} />;
  if (here.page === "plan") return <PlanPage />;
  if (here.page === "set-up") return <SetUpPage station={here.station} />;
  if (here.page === "messages") return <MessagesPage search={here.search} />;
  if (here.page === "instruments") return <InstrumentsPage search={here.search} />;
  if (here.page === "run") return <RunPage key={here.id} id={here.id} />;
  return (
    <section class="note">
      <h1>No such page</h1>
      <p>
        There is no page at <code>{here.path}</code>. <a href="/">To the Floor</a>
      </p>
    </section>
  );
}

function pageTitle(here: Route): string {
  if (here.page === "bench") return here.id === null ? "Chart Bench" : `${here.id.replace(":", " ")} Chart Bench`;
  if (here.page === "limits") return "Limits Book";
  if (here.page === "by-hand") return here.station === null ? "By hand" : `${here.station} By hand`;
  if (here.page === "set-up") return here.station === null ? "What is set up" : `${here.station} What is set up`;
  if (here.page === "plan") return "Control plan";
  if (here.page === "instruments") return "Instruments";
  if (here.page === "messages") return "Message Routes";
  if (here.page === "record") return "Change Record";
  if (here.page === "sign-in") return "Sign in";
  if (here.page === "people") return "People and keys";
  if (here.page === "account") return "Your account";
  if (here.page === "welcome") return "Welcome";
  if (here.page === "display") return "Display";
  if (here.page === "run") return `${here.id.split(":")[0]} Run Sheet`;
  return here.page === "flags" ? "Flags" : here.page === "floor" ? "Floor" : "No such page";
}
