#pragma once

#include <QAction>
#include <QList>
#include <QObject>
#include <functional>
#include <optional>
#include <vector>

#include "core/foundation/clocks.h"

class QMenu;

namespace beatwitness::app {

class Document;
class SessionPage;

/// The commands of the review: going about, zooming, filtering, phases, pins and devices; each one action for
/// menu, shortcut and test, and what it does. Bare letters work all over the window, as the window's own;
/// keys that buttons and fields need (Space, Enter, Delete, arrows) only while the timeline has the focus.
class TimelineCommands : public QObject {
    Q_OBJECT

public:
    TimelineCommands(Document& document, SessionPage& page, QWidget* window);

    /// Submenus at the end of View and of Session.
    void fill(QMenu& view, QMenu& session);
    [[nodiscard]] QList<QAction*> withShortcut() const;
    /// By object name, for tests and buttons; nullptr where there is none.
    [[nodiscard]] QAction* action(const QString& name) const;

signals:
    /// The session page is needed in front.
    void pageWanted();
    /// What was wanted cannot be: one sentence.
    void refused(const QString& sentence);
    /// The phases at hand are to be copied to other sessions of the library.
    void phaseCopiesWanted();
    /// The clock offsets of the project's devices over its sessions are to be shown.
    void offsetsWanted();
    /// What was done and what is to be done next.
    void told(const QString& headline, const QString& sentence);

private:
    enum class Keys { Window, Timeline };
    using Doing = std::function<void()>;

    QAction* add(const QString& text, const QKeySequence& keys, const char* name, Doing doing,
                 Keys where = Keys::Window);
    void makeGoing();
    void makeZooming();
    void makeFiltering();
    void makePhases();
    void makePhaseEdits();
    void makePins();
    void makeDevices();
    void makeClock();
    void refresh();
    void fillPhaseFilter();
    void fillFlagFilter();
    void fillDevices();

    // timeline_actions.cpp
    void stepPhase(int by);
    void stepLap(int by);
    void stepStretch(int by);
    void stepThrough(std::vector<double> seconds, int by);
    void fitFlag();
    void fitPhase();
    void nextScale();
    void setRangeEdge(bool begin);
    void makePhase(int kind);
    void nudge(bool begin, int by);
    void split();
    void join();
    void erase();
    void takeAtCursor();
    void pinHere();
    void copyMarks();
    void nextBand();
    void hideFocusTest();
    void moveFocusTest(int by);
    void markEvent(bool onReference);
    [[nodiscard]] std::optional<std::size_t> phaseAtHand() const;
    [[nodiscard]] std::optional<double> cursor();

    Document& document_;
    SessionPage& page_;
    QWidget* window_;
    QList<QAction*> all_, going_, zooming_, filtering_, phases_, pins_, devices_, clock_;
    std::optional<ReferenceTime> eventOnReference_;
    std::optional<TestTime> eventOnTest_;
    QMenu* phaseFilter_ = nullptr;
    QMenu* flagFilter_ = nullptr;
    QMenu* deviceMenu_ = nullptr;
    QList<QMenu*> menus_;
};

}  // namespace beatwitness::app
