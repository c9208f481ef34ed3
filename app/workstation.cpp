#include "app/workstation.h"

#include "app/workstation_options.h"

#include <QApplication>
#include <QSettings>
#include <QTemporaryDir>
#include <QTimer>
#include <cstdio>
#include <memory>

#include "app/pages/compare/compare_page.h"
#include "app/pages/session_page.h"
#include "app/windows/library_files.h"
#include "app/windows/main_window.h"
#include "widgets/inputs/message_banner.h"
#include "widgets/plots/timeline_view.h"

namespace beatwitness {
namespace {

using namespace app;

/// Queued replots and layout settle well within this.
constexpr int settle_ms = 250;

QStringList toQt(const std::vector<std::string>& texts) {
    QStringList list;
    for (const auto& text : texts)
        list << QString::fromStdString(text);
    return list;
}

bool openAsked(MainWindow& window, const WorkstationOptions& options) {
    if (!options.reference.empty())
        window.opening().openByRole(FilesByRole{QString::fromStdString(options.reference),
                                                toQt(options.tests), toQt(options.contexts)});
    else if (options.files.size() == 1 && isLibraryFile(QString::fromStdString(options.files.front())))
        window.library().open(QString::fromStdString(options.files.front()));
    else if (!options.files.empty())
        window.opening().open(toQt(options.files));
    else if (options.sampleLibrary)
        window.libraryFiles().openSample();
    else if (options.samplePair && !MainWindow::samplePair().reference.isEmpty())
        window.opening().openByRole(MainWindow::samplePair());
    else
        return options.shot.empty() && window.libraryFiles().openLast();
    return true;
}

void applyView(MainWindow& window, const WorkstationOptions& options) {
    window.showPage(static_cast<Page>(options.page));
    if (options.aligned) window.document().setWantsAligned(*options.aligned);
    if (options.cursor_s) window.sessionPage().timeline().setCursor(options.cursor_s);
}

void save(MainWindow& window, const std::string& path) {
    const bool saved = window.grab().save(QString::fromStdString(path), "PNG");
    if (!saved) std::fprintf(stderr, "%s: the picture could not be written.\n", path.c_str());
    QCoreApplication::exit(saved ? 0 : 3);
}

/// A picture of a library shows its first session that has numbers, once all cells are filled.
void openFirstSession(MainWindow& window) {
    auto* waits = new QTimer(&window);
    QObject::connect(waits, &QTimer::timeout, &window, [&window, waits] {
        if (!window.library().isOpen() || window.headlines().isBusy()) return;
        waits->deleteLater();
        const auto& sessions = window.library().contents()->sessions;
        for (const auto& session : sessions)
            for (const auto& wearing : session->wearings)
                if (window.headlines().of(session->id, wearing.device))
                    return window.storedSession().open(session->id);
    });
    waits->start(settle_ms);
}

void arrangeShot(MainWindow& window, const WorkstationOptions& options, bool loading) {
    const auto saveSoon = [&window, path = options.shot] {
        auto* waits = new QTimer(&window);
        QObject::connect(waits, &QTimer::timeout, &window, [&window, path, waits] {
            if (window.comparePage().answer().isBusy() || window.projectAnswer().isBusy()) return;
            waits->deleteLater();
            QTimer::singleShot(settle_ms, &window, [&window, path] { save(window, path); });
        });
        waits->start(settle_ms);
    };
    if (!loading) {
        saveSoon();
        return;
    }
    QObject::connect(&window.document(), &Document::analysisChanged, &window, [&window, options, saveSoon] {
        applyView(window, options);
        saveSoon();
    });
    QObject::connect(&window.library(), &LibraryDocument::opened, &window,
                     [&window] { openFirstSession(window); });
    const auto giveUp = [](const QString& text) {
        std::fprintf(stderr, "%s\n", qPrintable(text));
        QCoreApplication::exit(3);
    };
    QObject::connect(&window.opening(), &Opening::refused, &window,
                     [giveUp](const QString&, const QString& text) { giveUp(text); });
    QObject::connect(
        &window.library(), &LibraryDocument::failed, &window,
        [giveUp](const QString&, const Fault& fault) { giveUp(QString::fromStdString(sentence(fault))); });
    QObject::connect(
        &window.document(), &Document::failed, &window,
        [giveUp](const QString&, const Fault& fault) { giveUp(QString::fromStdString(sentence(fault))); });
}

std::unique_ptr<QSettings> settingsFor(const WorkstationOptions& options, const QTemporaryDir& scratch) {
    if (options.shot.empty()) return std::make_unique<QSettings>();
    return std::make_unique<QSettings>(scratch.filePath(QStringLiteral("settings.ini")),
                                       QSettings::IniFormat);
}

void nameApplication() {
    QApplication::setOrganizationName(QStringLiteral("beatwitness"));
    QApplication::setApplicationName(QStringLiteral("beatwitness"));
    QApplication::setApplicationDisplayName(QStringLiteral("Beatwitness"));
    QApplication::setDesktopFileName(QStringLiteral("org.beatwitness.Beatwitness"));
}

int run(const WorkstationOptions& options) {
    nameApplication();
    const QTemporaryDir scratch;
    const auto settings = settingsFor(options, scratch);
    MainWindow window(*settings);
    if (options.theme)
        window.setTheme(*options.theme == WorkstationOptions::Theme::Dark ? widgets::ThemeChoice::Dark
                                                                          : widgets::ThemeChoice::Light);
    if (!options.shot.empty()) window.resize(options.width, options.height);
    window.show();
    const bool loading = openAsked(window, options);
    if (!options.shot.empty())
        arrangeShot(window, options, loading);
    else if (loading)
        QObject::connect(
            &window.document(), &Document::analysisChanged, &window,
            [&window, options] { applyView(window, options); }, Qt::SingleShotConnection);
    return QApplication::exec();
}

/// Without one Qt would abort where a sentence is due.
bool hasDisplay() {
    for (const auto* name : {"DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"})
        if (!qEnvironmentVariableIsEmpty(name)) return true;
    return false;
}

}  // namespace

int runWorkstation(int argc, char** argv) {
    if (!hasDisplay()) {
        std::fprintf(
            stderr, "There is no display for the window; the verbs work without one (beatwitness --help).\n");
        return 2;
    }
    const QApplication application(argc, argv);
    const std::vector<std::string> words(argv + 1, argv + argc);
    const auto options = parseWorkstationOptions(words);
    if (!options) {
        std::fprintf(stderr, "%s\n", sentence(options.fault()).c_str());
        return 2;
    }
    return run(*options);
}

}  // namespace beatwitness
