// Not a test: the window in a given state, saved as a picture, for looking at.
//   try_window OUT.png WxH light|dark STATE [FILE …]
// STATE: empty, session, agreement, roles, error, progress, shortcuts, about, drop, context, readas, import,
// library, compare[:VIEW], criteria[:TAB], editions, particulars, plan, menu, deleted (of the library given
// as the file) import: files named first=FILE or first=FOLDER are in the library already.
#include <QApplication>
#include <QComboBox>
#include <QDialog>
#include <QDir>
#include <QPushButton>
#include <QSettings>
#include <QTabWidget>
#include <QTemporaryDir>
#include <QTimer>
#include <QTreeView>
#include <thread>

#include "app/document/annotations.h"
#include "app/document/import_reading.h"
#include "app/document/selection.h"
#include "app/pages/agreement/agreement_page.h"
#include "app/pages/compare/compare_page.h"
#include "app/pages/matrix/matrix_panel.h"
#include "app/pages/session_page.h"
#include "app/windows/commands.h"
#include "app/windows/criteria_dialog.h"
#include "app/windows/editions_dialog.h"
#include "app/windows/folder_files.h"
#include "app/windows/importing.h"
#include "app/windows/library_commands.h"
#include "app/windows/library_files.h"
#include "app/windows/main_window.h"
#include "app/windows/timeline_commands.h"
#include "widgets/inputs/drop_frame.h"
#include "widgets/plots/timeline_view.h"

using namespace beatwitness;
using namespace beatwitness::app;

namespace {

void importInto(MainWindow& window, const QStringList& files) {
    QStringList stored, offered;
    for (const auto& file : files)
        (file.startsWith("first=") ? stored : offered) << QString(file).remove("first=");
    std::vector<std::filesystem::path> paths;
    for (const auto& path : filesBelow(stored))
        paths.emplace_back(path.toStdString());
    auto read = readImport(paths, {}, {});
    for (auto& session : read->plan.sessions)
        session.wearer = "wearer 1";
    const auto drafts = library::draftsOf(read->plan.sessions, read->source->files);
    const auto path =
        QDir::temp().filePath(QString("try-%1.library").arg(QCoreApplication::applicationPid()));
    if (auto library = library::Library::open(path.toStdString(), {.createIfAbsent = true}))
        static_cast<void>(library->addSessions(drafts));
    QObject::connect(&window.library(), &LibraryDocument::opened, &window,
                     [&window, offered] { window.importing().import(offered); });
    window.library().open(path);
}

/// The first session that was dated, open, and what `state` asks to see of it.
void openLibrary(MainWindow& window, const QString& state, const QString& path) {
    QObject::connect(&window.library(), &LibraryDocument::opened, &window, [&window, state] {
        QTimer::singleShot(700, &window, [&window, state] {
            auto& commands = window.libraryCommands();
            window.storedSession().open(window.library().contents()->sessions.front()->id);
            if (state == "plan" || state == "menu") {
                commands.planSession->trigger();
                window.matrix().view().setFocus();
            }
            if (state == "menu") emit window.matrix().view().menuAsked(QPoint(200, 300));
            if (state.startsWith("pooled")) {
                // pooled, or pooled:PART[:DEVICE]
                const auto words = state.split(':');
                window.showPage(Page::Agreement);
                window.agreementPage().showProject(true);
                if (words.size() > 2)
                    if (auto* device = window.findChild<QComboBox*>("scopeDevice")) {
                        QTimer::singleShot(900, device, [device, name = words[2]] {
                            device->setCurrentText(name);
                            emit device->activated(device->currentIndex());
                        });
                    }
                if (words.size() > 1)
                    window.agreementPage().showPart(static_cast<report::AgreementPart>(words[1].toInt()));
            }
            if (state.startsWith("compare")) {
                // compare, or compare:VIEW
                window.showPage(Page::Compare);
                if (state.contains(':'))
                    window.comparePage().showView(
                        static_cast<ComparePage::View>(state.section(':', 1).toInt()));
            }
            if (state.startsWith("criteria")) {
                // criteria, or criteria:TAB
                const auto project = *window.matrix().project();
                window.library().addCriterion(
                    "set", project,
                    {agreement::Metric::Mae, 5.0, agreement::Sense::AtMost, {}, {}, 0.95, {}});
                commands.planAndCriteria->trigger();
                window.findChild<CriteriaDialog*>()->findChild<QTabWidget*>()->setCurrentIndex(
                    state.section(':', 1).toInt());
            }
            if (state == "editions") {
                commands.editions->trigger();
                auto* dialog = window.findChild<EditionsDialog*>();
                QObject::connect(dialog, &EditionsDialog::frozen, dialog, [dialog] {
                    QTimer::singleShot(400, dialog, [dialog] { dialog->openEdition(0); });
                });
                QTimer::singleShot(400, dialog, [dialog] { dialog->freeze("first film"); });
            }
            if (state == "deleted") {
                commands.deleteRows->trigger();
                commands.deletedList->trigger();
            }
            if (state == "copyPhases" || state == "offsets")
                QTimer::singleShot(2000, &window, [&window, state] {
                    auto& marks = window.document().annotations();
                    marks.proposeFromReference();
                    marks.takeAllProposals();
                    window.timelineCommands().action(state)->trigger();
                });
            if (state == "particulars")
                QTimer::singleShot(500, &window, [&commands] { commands.properties->trigger(); });
        });
    });
    window.library().open(path);
}

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
    else if (state == "import")
        importInto(window, files);
    else if (files.size() == 1 && isLibraryFile(files.front()))
        openLibrary(window, state, files.front());
    else if (!files.isEmpty())
        window.opening().open(files);
}

void showReview(MainWindow& window) {
    auto& annotations = window.document().annotations();
    auto& timeline = window.sessionPage().timeline();
    const auto trigger = [&](const char* name) { window.timelineCommands().action(name)->trigger(); };
    annotations.proposeFromReference();
    annotations.takeAllProposals();
    annotations.addPhase({annotations.instantAt(900), annotations.instantAt(1000)}, trace::PhaseKind::Set);
    for (const double second : {700.0, 1300.0}) {
        timeline.setCursor(second);
        trigger("pin");
    }
    annotations.proposeLaps();
    timeline.setRange(300, 2400);
    window.document().selection().setRange(std::pair{800.0, 1500.0});
    window.commands().nextFlag->trigger();
    timeline.setRange(300, 2400);
    timeline.setCursor(1100.0);
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
        if (state.startsWith("review")) showReview(window);
        if (state == "review-map") window.showPage(Page::Agreement);
        if (state == "context") window.commands().nextContext->trigger();
        if ((state == "session" || state == "context") && window.document().hasSession())
            window.sessionPage().timeline().setCursor(600.0);
    });
    QTimer::singleShot(2200, &window, [&] {
        if (state == "readas")
            if (auto* button = window.findChild<QPushButton*>("readAsButton")) button->click();
        if (auto* tree = window.findChild<QTreeView*>("importTree"))
            tree->setCurrentIndex(tree->model()->index(1, 0, tree->model()->index(0, 0)));
    });
    QTimer::singleShot(4500, &window, [&] {
        QWidget* shown = &window;
        if (auto* dialog = window.findChild<QDialog*>()) shown = dialog;
        shown->grab().save(arguments.at(1));
        QApplication::quit();
    });
    return QApplication::exec();
}
