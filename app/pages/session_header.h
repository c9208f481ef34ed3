#pragma once

#include <QWidget>

class QComboBox;
class QLabel;
class QToolButton;

namespace beatwitness::app {

class Document;
class StoredSession;

/// Above both pages: what is compared, when, how much of it; which test is in front; which clock is shown;
/// the swap of reference and test, always in sight.
class SessionHeader : public QWidget {
    Q_OBJECT

public:
    explicit SessionHeader(Document& document, QWidget* parent = nullptr);

    /// The button carries out the window's action, so that the command has one home.
    void setSwapAction(QAction* swap);
    /// Whose name and words stand there while it is open.
    void setStoredSession(StoredSession& session);

private:
    void refreshTests();
    void refresh();

    Document& document_;
    StoredSession* stored_ = nullptr;
    QLabel* title_;
    QLabel* subtitle_;
    QComboBox* tests_;
    QToolButton* swap_;
    QToolButton* recorded_;
    QToolButton* aligned_;
};

}  // namespace beatwitness::app
