//! Pages of the air, asked through the router.

use axum::http::StatusCode;

use crate::web::tests::{House, run};

/// EN 12021:2014 allows 5 ppm of carbon monoxide (the limits of the program name the source).
const GOOD: &str = "/air?standard=EN+12021&sampled=2026-05-04&oxygen=20.9+%25&carbon-monoxide=1+ppm&carbon-dioxide=400+ppm&oil=0.1+mg%2Fm3&water=20+mg%2Fm3&odour=none&liquid-water=none&point=outlet&cylinder-pressure=232+bar";

#[test]
fn results_are_held_against_limits() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        let page = house.page(GOOD).await;
        assert!(
            page.contains("Every limit is kept by this sample"),
            "{page}"
        );
        assert!(page.contains("Result against limits") && page.contains("<svg"));
        let page = house
            .page(&GOOD.replace("monoxide=1+ppm", "monoxide=9+ppm"))
            .await;
        assert!(
            page.contains("A limit is passed: fill nothing") && page.contains("What to set aside"),
            "{page}"
        );
        let page = house
            .page("/air?standard=EN+12021&carbon-monoxide=much")
            .await;
        assert!(
            page.contains("id=\"mh-carbon-monoxide\">") && page.contains("value=\"much\""),
            "{page}"
        );
    });
}

#[test]
fn a_failed_test_is_kept_locks_and_shows_its_way() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        let given = [
            ("standard", "EN 12021"),
            ("carbon-monoxide", "9 ppm"),
            ("laboratory", "<b>lab</b> \"x\""),
            ("by", "MK"),
        ];
        let sent = house.post("/air/keep", &given).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
        let page = house.page(&sent.to).await;
        assert!(
            page.contains("Filling is locked until") && page.contains("/book/add/cause?of="),
            "{page}"
        );
        assert!(!page.contains("<b>lab</b>"), "{page}");
        assert!(house.page("/book").await.contains("Nothing is filled"));
        let entry = sent.to.rsplit('/').next().unwrap_or_default();
        house
            .page(&format!("/print/certificate?test={entry}"))
            .await;
        assert_eq!(house.get("/air/test/1").await.status, StatusCode::NOT_FOUND);
        let nobody = house.post("/air/keep", &given[..2]).await;
        assert_eq!(nobody.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(
            nobody.text.contains("value=\"9 ppm\""),
            "what was typed is lost"
        );
    });
}

#[test]
fn quantities_are_drawn_over_tests() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        for (day, amount) in [("2026-01-04", "1 ppm"), ("2026-04-04", "2 ppm ± 0.5 ppm")] {
            let sent = house
                .post(
                    "/air/keep",
                    &[
                        ("standard", "EN 12021"),
                        ("sampled", day),
                        ("carbon-monoxide", amount),
                        ("by", "MK"),
                    ],
                )
                .await;
            assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
        }
        let page = house.page("/air").await;
        assert!(
            page.contains("How each quantity moves") && page.contains("Carbon monoxide, ppm"),
            "{page}"
        );
        assert!(page.contains("1.5 and 2.5"), "{page}");
    });
}

/// 1 ppm of CO is 28.010 g/mol over 24.055 L/mol at 20 °C and 1 atm: 1.164 mg/m³ (handbook value 1.16).
#[test]
fn the_box_converts() {
    run(async {
        let house = House::of(None);
        let page = house.page("/air?amount=10+ppm&of=co").await;
        assert!(page.contains("11.6 mg/m³"), "{page}");
        let page = house.page("/air?amount=lots&of=co").await;
        assert!(page.contains("is not an amount of"), "{page}");
    });
}
