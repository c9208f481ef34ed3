#pragma once

#include <QMainWindow>
#include <optional>

#include "app/document/document.h"
#include "app/document/headlines.h"
#include "app/document/library_document.h"
#include "app/document/project_answer.h"
#include "app/document/stored_session.h"
#include "app/windows/opening.h"
#include "core/agreement/pair_filter.h"
#include "core/report/figures/figure_request.h"
#include "widgets/theme/theme.h"

class QLabel;
class QMenuBar;
class QSettings;
class QSplitter;
class QStackedWidget;

namespace beatwitness::widgets {
class DropFrame;
class MessageBanner;
class PageTabs;
class TopBar;
}  // namespace beatwitness::widgets

namespace beatwitness::app {

class AgreementPage;
class Commands;
class ComparePage;
class EmptyPage;
class FiguresPage;
class FlagCommands;
class Importing;
class LibraryActions;
class LibraryCommands;
class LibraryFiles;
class MatrixPanel;
class ReportActions;
class SessionHeader;
class SessionPage;
class TimelineCommands;
class ViewMemory;
class UnscoredPage;

/// Tabs of the window, in their order.
enum class Page { Session, Agreement, Compare, Figures };

/// The workstation's one window: top bar, messages, the page at hand, cautions.
class MainWindow : public QMainWindow {
    Q_OBJECT

public:
    /// Undo steps kept; one of a loose pair holds the recordings and numbers of its two sides.
    static constexpr int undoSteps = 100;

    /// `settings` keeps layout and theme between runs; must outlive the window.
    explicit MainWindow(QSettings& settings, QWidget* parent = nullptr);
    ~MainWindow() override;

    [[nodiscard]] Document& document() { return document_; }
    [[nodiscard]] LibraryDocument& library() { return library_; }
    [[nodiscard]] Opening& opening() { return *opening_; }
    [[nodiscard]] Importing& importing() { return *importing_; }
    [[nodiscard]] Commands& commands() { return *commands_; }
    [[nodiscard]] TimelineCommands& timelineCommands() { return *timelineCommands_; }
    [[nodiscard]] FlagCommands& flagCommands() { return *flagCommands_; }
    [[nodiscard]] widgets::MessageBanner& banner() { return *banner_; }
    [[nodiscard]] SessionPage& sessionPage() { return *session_; }
    [[nodiscard]] StoredSession& storedSession() { return stored_; }
    [[nodiscard]] Headlines& headlines() { return headlines_; }
    [[nodiscard]] AgreementPage& agreementPage() { return *agreement_; }
    [[nodiscard]] ProjectAnswer& projectAnswer() { return answer_; }
    [[nodiscard]] ComparePage& comparePage() { return *compare_; }
    [[nodiscard]] FiguresPage& figuresPage() { return *figures_; }
    [[nodiscard]] MatrixPanel& matrix() { return *matrix_; }
    [[nodiscard]] LibraryCommands& libraryCommands() { return *libraryCommands_; }
    [[nodiscard]] LibraryFiles& libraryFiles() { return *libraryFiles_; }
    [[nodiscard]] LibraryActions& libraryActions() { return *libraryActions_; }
    [[nodiscard]] ReportActions& reports() { return *reports_; }

    void showPage(Page page);
    [[nodiscard]] Page page() const;
    /// What the page at hand shows, as a figure of the project; nothing where it shows nothing that can be
    /// one.
    [[nodiscard]] std::optional<report::FigureRequest> viewAsFigure() const;
    void setTheme(widgets::ThemeChoice choice);
    /// Where the sample pair lies, empty where it is not found.
    [[nodiscard]] static FilesByRole samplePair();

protected:
    void dragEnterEvent(QDragEnterEvent* event) override;
    void dragLeaveEvent(QDragLeaveEvent* event) override;
    void dropEvent(QDropEvent* event) override;
    void closeEvent(QCloseEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;

private:
    void makeTopBar();
    void makeCentre();
    void makeLibrary();
    void fillLibraryMenus();
    void connectLibrary();
    void refreshPlace();
    void makeCompare();
    void refreshCompareCommands();
    void showCriteria();
    void showEditions();
    void makeFigures();
    void connectAgreement();
    void lightBox();
    void refreshFigureCommands();
    void showParticulars();
    void foldSide();
    void restoreLibraryLayout();
    void keepLibraryLayout();
    void connectFileCommands();
    void connectViewCommands();
    void connectSessionCommands();
    void connectDocument();
    void connectReview();
    void refreshCommands();
    void showRightPage();
    void fillReferenceMenu();
    void fillContextMenu();
    void fillReadAsMenu();
    void readAs(const SharedFile& file);
    void takeIn(const QStringList& paths);
    void chooseImport();
    void pasteFiles();
    void showContext(std::optional<int> index);
    void nextContext();
    void chooseFiles();
    void stepPane();
    void nextTest();
    void refuse(const QString& headline, const QString& text, const QString& details);
    void restoreLayout();
    void keepLayout();

    QSettings& settings_;
    bool keepMessage_ = false;  ///< the message at hand speaks of the load that is under way
    QUndoStack undo_;
    Document document_{undo_};
    LibraryDocument library_{undo_};
    Headlines headlines_{library_};
    StoredSession stored_{library_, document_};
    ProjectAnswer answer_{library_};
    std::optional<library::SessionId> selectedFor_;
    std::optional<agreement::RateBox> boxAsked_;  ///< to be selected in the session that is being opened
    bool matrixWanted_ = true;
    bool foldedForWidth_ = false;
    Opening* opening_;
    Importing* importing_;
    Commands* commands_;
    LibraryCommands* libraryCommands_ = nullptr;
    LibraryFiles* libraryFiles_ = nullptr;
    LibraryActions* libraryActions_ = nullptr;
    ReportActions* reports_ = nullptr;
    MatrixPanel* matrix_ = nullptr;
    QSplitter* split_ = nullptr;
    QLabel* readOnly_ = nullptr;
    QLabel* cautions_ = nullptr;
    UnscoredPage* unscored_ = nullptr;
    widgets::TopBar* place_ = nullptr;
    widgets::PageTabs* tabs_ = nullptr;
    widgets::MessageBanner* banner_ = nullptr;
    widgets::DropFrame* drop_ = nullptr;
    QMenuBar* menu_ = nullptr;
    SessionHeader* header_ = nullptr;
    QStackedWidget* pages_ = nullptr;
    EmptyPage* empty_ = nullptr;
    SessionPage* session_ = nullptr;
    AgreementPage* agreement_ = nullptr;
    ComparePage* compare_ = nullptr;
    FiguresPage* figures_ = nullptr;
    TimelineCommands* timelineCommands_ = nullptr;
    FlagCommands* flagCommands_ = nullptr;
    ViewMemory* memory_ = nullptr;
};

}  // namespace beatwitness::app
