// Pictures of the plot views with plausible data, to be looked at: show_plots FOLDER [--scale N]
#include <QApplication>
#include <QDir>
#include <QKeyEvent>
#include <QPainter>
#include <cstdio>

#include "tests/widgets/plots/demo_session.h"
#include "widgets/plots/agreement_map_view.h"
#include "widgets/plots/loss_curve_view.h"
#include "widgets/plots/timeline_view.h"
#include "widgets/theme/theme.h"

using namespace beatwitness;

namespace {

void save(QWidget& view, QSize size, const QString& path) {
    view.resize(size);
    view.show();
    QApplication::processEvents();
    if (!view.grab().save(path)) std::fprintf(stderr, "could not write %s\n", qPrintable(path));
}

void showTimeline(const QString& folder, const QString& theme) {
    widgets::TimelineView view;
    save(view, {900, 640}, folder + "/timeline-empty-" + theme + ".png");
    view.setSession(widgets_test::rowingSession(48, 1));
    save(view, {1028, 760}, folder + "/timeline-whole-" + theme + ".png");
    view.setFocus();
    view.setRange(1500, 2500);
    view.setCursor(1786);
    save(view, {1028, 760}, folder + "/timeline-part-" + theme + ".png");
    view.setRange(1700, 1740);
    save(view, {700, 480}, folder + "/timeline-close-" + theme + ".png");
    view.setSession(widgets_test::rowingSession(48, 4));
    view.setRange(700, 2300);
    view.setFocusTest(1);
    view.setCursor(900);
    save(view, {1360, 860}, folder + "/timeline-four-" + theme + ".png");
    view.setSession(widgets_test::rowingSession(24 * 60, 4));
    save(view, {1028, 600}, folder + "/timeline-day-" + theme + ".png");
}

void showMap(const QString& folder, const QString& theme) {
    widgets::AgreementMapView view;
    view.setPairs(widgets_test::rowingSession(48, 2), 0, true);
    save(view, {640, 680}, folder + "/map-" + theme + ".png");
    view.setCellWidth(2);
    view.setFocus();
    view.setCursorPair(std::pair{171.0, 87.0});
    QKeyEvent key(QEvent::KeyPress, Qt::Key_Left, Qt::NoModifier);
    QApplication::sendEvent(&view, &key);
    save(view, {420, 460}, folder + "/map-small-" + theme + ".png");
}

void showPanels(const QString& folder, const QString& theme) {
    widgets::AgreementMapView map;
    map.setPairs(widgets_test::rowingSession(48, 2), 1, true);
    save(map, {300, 330}, folder + "/map-panel-" + theme + ".png");
    widgets::TimelineView timeline;
    timeline.setSession(widgets_test::rowingSession(48, 2));
    timeline.setCursor(2236);
    save(timeline, {660, 400}, folder + "/timeline-panel-" + theme + ".png");
}

void showLossCurve(const QString& folder, const QString& theme) {
    widgets::LossCurveView view;
    save(view, {280, 110}, folder + "/loss-empty-" + theme + ".png");
    view.setAlignment(widgets_test::demoAlignment());
    save(view, {280, 130}, folder + "/loss-" + theme + ".png");
}

}  // namespace

int main(int argc, char** argv) {
    if (argc < 2) {
        std::fprintf(stderr, "usage: show_plots FOLDER\n");
        return 2;
    }
    if (!qEnvironmentVariableIsSet("QT_QPA_PLATFORM")) qputenv("QT_QPA_PLATFORM", "offscreen");
    QApplication app(argc, argv);
    const QString folder = QString::fromLocal8Bit(argv[1]);
    QDir().mkpath(folder);
    for (const auto choice : {widgets::ThemeChoice::Light, widgets::ThemeChoice::Dark}) {
        widgets::applyTheme(app, choice);
        const QString theme = choice == widgets::ThemeChoice::Light ? "light" : "dark";
        showTimeline(folder, theme);
        showMap(folder, theme);
        showPanels(folder, theme);
        showLossCurve(folder, theme);
    }
    return 0;
}
