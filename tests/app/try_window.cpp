// Not a test: the window in a given state, saved as a picture, for looking at.
//   try_window OUT.png WxH light|dark STATE [FILE …]
// STATE: empty, session, agreement, roles, error, progress, shortcuts, about, drop, context
#include <QApplication>
#include <QDialog>
#include <QSettings>
#include <QTemporaryDir>
#include <QTimer>
#include <thread>

#include "app/pages/session_page.h"
#include "app/windows/commands.h"
#include "app/windows/main_window.h"
#include "widgets/inputs/drop_frame.h"
#include "widgets/plots/timeline_view.h"

using namespace beatwitness;
using namespace beatwitness::app;

namespace {

void showState(MainWindow& window, const QString& state, const QStringList& files) {
    if (state == "progress")
        window.document().runner().run(
            "Reading strap.fit …",
            [](const RunControl& run) {
                run.progress(0.42);
                std::this_thread::sleep_for(std::chrono::seconds(3));
                return 0;
            },
            [](int) {});
    else if (state == "shortcuts")
        window.commands().shortcuts->trigger();
    else if (state == "about")
        window.commands().about->trigger();
    else if (state == "drop")
        window.findChild<widgets::DropFrame*>()->appear("Let go to open these 2 recordings");
    else if (!files.isEmpty())
        window.opening().open(files);
}

}  // namespace

int main(int argc, char** argv) {
    QApplication application(argc, argv);
    const auto arguments = QApplication::arguments();
    const auto size = arguments.at(2).split('x');
    const auto state = arguments.at(4);
    QTemporaryDir scratch;
    QSettings settings(scratch.filePath("s.ini"), QSettings::IniFormat);
    MainWindow window(settings);
    window.setTheme(arguments.at(3) == "dark" ? widgets::ThemeChoice::Dark : widgets::ThemeChoice::Light);
    window.resize(size.at(0).toInt(), size.at(1).toInt());
    window.show();
    auto files = arguments.mid(5);
    if (state == "error") {
        window.opening().open(files.mid(0, files.size() - 1));
        QTimer::singleShot(1200, &window, [&] { window.opening().open({files.last()}); });
    } else {
        showState(window, state, files);
    }
    QTimer::singleShot(1500, &window, [&] {
        if (state == "agreement") window.showPage(Page::Agreement);
        if (state == "flag") window.commands().nextFlag->trigger();
        if (state == "context") window.commands().nextContext->trigger();
        if ((state == "session" || state == "context") && window.document().hasSession())
            window.sessionPage().timeline().setCursor(600.0);
    });
    QTimer::singleShot(2500, &window, [&] {
        QWidget* shown = &window;
        if (auto* dialog = window.findChild<QDialog*>()) shown = dialog;
        shown->grab().save(arguments.at(1));
        QApplication::quit();
    });
    return QApplication::exec();
}
